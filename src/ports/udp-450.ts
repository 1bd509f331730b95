/**
 * Datagrams after IEC 61162-450: `UdPbC` and a zero byte, then lines, each with a TAG block that names its source
 * and counts its lines. Heard on multicast groups (239.192.0.n, port 60000 + n); what is lost on the way is
 * noticed by the counts. Not a certified node: no network monitoring, no function numbers assigned.
 */
import type { Socket } from "node:dgram";
import { checksumOf } from "../nmea/seal.ts";
import { boundSocket, datagramSender, isOwn } from "./datagram.ts";
import { type Connect, KeptLink, type Wire, type WireEvents } from "./kept-link.ts";
import { explainNet, hostPort } from "./net-problem.ts";
import { type OpenPort, type PortDeps, type PortEvents, type PortSettings, wireLine } from "./port.ts";
import { createTagAccount, type TagAccount } from "./tag-account.ts";

type Settings = PortSettings<"udp-61162-450">;

const HEADER = Buffer.from("UdPbC\0", "latin1");
const WRAP = 999;

/** Always succeeds: a group that cannot be joined is a port that is down, and is tried again. */
export function openUdp450(settings: Settings, events: PortEvents, deps: PortDeps): Promise<OpenPort> {
  const connect: Connect = async (on, signal) => {
    const sockets: Socket[] = [];
    try {
      for (const { host, port } of settings.groups)
        sockets.push(await boundSocket({ host, port, interfaceHost: settings.interfaceHost }));
      if (signal.aborted) throw new Error("given up");
      return runSockets(sockets, settings, on);
    } catch (error) {
      for (const socket of sockets) socket.close();
      throw error;
    }
  };
  return Promise.resolve(new KeptLink(settings, events, deps, connect));
}

function runSockets(sockets: readonly Socket[], settings: Settings, on: WireEvents): Wire {
  const ears = sockets.map((socket) => ({ socket, own: socket.address() }));
  const account = createTagAccount();
  let closed = false;
  for (const { socket, own } of ears) {
    socket.on("error", (error) => on.lost(`lost ${hostPort(own.address, own.port)}: ${explainNet(error)}`));
    socket.on("message", (bytes, from) => {
      // What we send leaves from the first socket, whichever group it is for.
      const mayBeOwn = isOwn(from, ears[0]?.own.port ?? 0);
      hear(bytes, mayBeOwn ? settings.source : undefined, account, on);
    });
  }
  const where = settings.groups.map(({ host, port }) => hostPort(host, port)).join(", ");
  const [first] = ears;
  if (first === undefined) throw new Error("no group to listen to");
  const send = datagramSender(first.socket, settings, on);
  const tagged = createTagger(settings.source);
  return {
    how: `hearing ${where}`,
    address: hostPort(first.own.address, first.own.port),
    send: (text) => send(Buffer.concat([HEADER, wireLine(tagged(text) + text)])),
    close() {
      if (!closed) for (const { socket } of ears) socket.close();
      closed = true;
      return Promise.resolve();
    },
  };
}

/** A line keeps its TAG block: the core reads the time in it. One that breaks the rules is heard, and complained of. */
function hear(bytes: Buffer, ownSource: string | undefined, account: TagAccount, on: WireEvents): void {
  if (!bytes.subarray(0, HEADER.length).equals(HEADER)) {
    on.complain("datagram refused", "a datagram that does not begin with UdPbC");
    return;
  }
  for (const line of bytes
    .subarray(HEADER.length)
    .toString("latin1")
    .split(/[\r\n]+/)) {
    if (line === "") continue;
    const { source, missing, problem } = account.take(line);
    // A group comes back to its sender.
    if (source !== undefined && source === ownSource) continue;
    on.data(Buffer.from(`${line}\r\n`, "latin1"));
    if (missing > 0) {
      on.gaps(missing);
      on.complain("lines lost on the way", `${missing} that their sender counted did not come`);
    }
    if (problem !== undefined) on.complain("line not as the standard wants it", problem);
  }
}

/** The parts of one report: formatter, total, number. */
const IN_PARTS = /^\$..(?:ALF|ALC|TXT),0?(\d{1,2}),0?(\d{1,2}),/;

/** Makes TAG blocks: source, line count, and the group of a sentence that comes in parts. */
export function createTagger(source: string): (text: string) => string {
  let count = 0;
  let group = 0;
  return (text) => {
    count = (count % WRAP) + 1;
    const [, total = "1", number = "1"] = IN_PARTS.exec(text) ?? [];
    if (number === "1") group = (group % WRAP) + 1;
    const grouping = Number(total) > 1 ? `g:${number}-${total}-${group},` : "";
    const body = `${grouping}s:${source},n:${count}`;
    return `\\${body}*${checksumOf(body)}\\`;
  };
}
