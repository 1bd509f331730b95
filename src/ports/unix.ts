/**
 * A Unix socket that other programs on this machine connect to. Whoever may open the file may listen and speak,
 * so it is the owner's and group's only.
 */
import { chmod, lstat, unlink } from "node:fs/promises";
import { connect } from "node:net";
import { type OpenPort, type PortDeps, PortError, type PortEvents, type PortSettings } from "./port.ts";
import { StreamServerPort } from "./stream-server.ts";

const OWNER_AND_GROUP = 0o660;

/** Takes over a socket that a dead program left; rejects with a PortError for one in use, or for any other file. */
export async function openUnix(
  settings: PortSettings<"unix">,
  events: PortEvents,
  deps: PortDeps,
): Promise<OpenPort> {
  const { path } = settings;
  await clearPath(settings);
  const server = new StreamServerPort(settings, { at: { path }, where: path }, events, deps);
  await server.listen();
  try {
    await chmod(path, OWNER_AND_GROUP);
  } catch {
    await server.close();
    throw new PortError(settings.name, `cannot keep ${path} to its owner and group`);
  }
  return server;
}

async function clearPath({ name, path }: PortSettings<"unix">): Promise<void> {
  const found = await lstat(path).catch(() => undefined);
  if (found === undefined) return;
  if (!found.isSocket()) throw new PortError(name, `cannot listen on ${path}: another file is there`);
  if (await isServed(path)) throw new PortError(name, `cannot listen on ${path}: another program serves it`);
  await unlink(path).catch(() => {});
}

function isServed(path: string): Promise<boolean> {
  return new Promise((resolve) => {
    const probe = connect(path, () => {
      probe.destroy();
      resolve(true);
    });
    probe.on("error", () => resolve(false));
  });
}
