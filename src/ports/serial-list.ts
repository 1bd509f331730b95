/** Serial devices of this machine, by the names that stay with the device (Linux: /dev/serial/by-id). */
import { readdir, realpath } from "node:fs/promises";
import { join } from "node:path";
import { deviceFacts } from "./serial-problem.ts";

export interface SerialDevice {
  /** The name to configure. */
  name: string;
  /** Where it is just now, such as /dev/ttyUSB0. */
  device: string;
  /** Does the name stay with it, whichever socket it is plugged into? */
  isStable: boolean;
  /** What it says of itself. */
  maker: string | undefined;
  /** May this user read and write it? */
  allowed: boolean;
  /** Group that it belongs to. */
  group: string | undefined;
}

const BY_ID = "/dev/serial/by-id";

/** What the serial library finds, in the parts that are of use here. */
export type ListPorts = () => Promise<readonly { path: string; manufacturer?: string | undefined }[]>;

/**
 * Devices with a stable name under that name, the rest under their own. Loads the native part of the serial
 * library only here.
 */
export async function listSerial(list: ListPorts = libraryList, byId = BY_ID): Promise<SerialDevice[]> {
  const stable = await stableNames(byId);
  const found = await list().catch(() => []);
  const paths = new Set([...found.map(({ path }) => path), ...stable.keys()]);
  const devices = [...paths].map(async (device): Promise<SerialDevice> => {
    const facts = await deviceFacts(device);
    const name = stable.get(device);
    return {
      name: name ?? device,
      device,
      isStable: name !== undefined,
      maker: found.find(({ path }) => path === device)?.manufacturer,
      allowed: facts.allowed,
      group: facts.group,
    };
  });
  return (await Promise.all(devices)).sort((a, b) => (a.name < b.name ? -1 : 1));
}

async function libraryList(): ReturnType<ListPorts> {
  const { SerialPort } = await import("serialport");
  return SerialPort.list();
}

/** Device → stable name. */
async function stableNames(folder: string): Promise<Map<string, string>> {
  const names = await readdir(folder).catch(() => []);
  const pairs = names.map(async (name): Promise<[string, string][]> => {
    const path = join(folder, name);
    const device = await realpath(path).catch(() => undefined);
    return device === undefined ? [] : [[device, path]];
  });
  return new Map((await Promise.all(pairs)).flat());
}
