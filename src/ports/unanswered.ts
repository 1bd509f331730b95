/**
 * Peers that have gone without a word: out of the Wi-Fi's reach, or switched off. What is sent to them the system
 * takes and sends again and again for a quarter of an hour, and no library function tells. Linux lists how often in
 * /proc/net/tcp (proc(5), field "retrnsmt"); elsewhere keep-alive must do, which finds only a silent connection.
 */
import { readFile } from "node:fs/promises";
import type { Socket } from "node:net";
import { hostPort } from "./net-problem.ts";

const TABLES = ["/proc/net/tcp", "/proc/net/tcp6"];
const LOOK_MS = 4000;
/**
 * The wait doubles from 0.2 s at least (RFC 6298 asks for a second, Linux for a fifth): so many in a row, and
 * nothing has been answered for twelve seconds and more.
 */
export const MOST_RETRANSMITS = 6;

/** `own port, peer's address and port` of each connection in such a table to which nothing gets through. */
export function unansweredIn(table: string): string[] {
  return table.split("\n").flatMap((row) => {
    const [, local = "", remote = "", , queues = "", , retransmits = ""] = row.trim().split(/\s+/);
    const isWaiting = Number.parseInt(queues.split(":")[0] ?? "", 16) > 0;
    if (!isWaiting || Number.parseInt(retransmits, 16) < MOST_RETRANSMITS) return [];
    const peer = addressOf(remote);
    return peer === undefined ? [] : [pairOf(portOf(local), peer, portOf(remote))];
  });
}

function pairOf(ownPort: number, peer: string, peerPort: number): string {
  return `${ownPort} ${hostPort(peer, peerPort)}`;
}

function portOf(pair: string): number {
  return Number.parseInt(pair.split(":")[1] ?? "", 16);
}

/** Words of four bytes in the machine's order, the least first on all that Node runs on here. */
function addressOf(pair: string): string | undefined {
  const bytes = (pair.split(":")[0]?.match(/[0-9A-F]{8}/g) ?? []).flatMap((word) =>
    (word.match(/../g) ?? []).reverse().map((byte) => Number.parseInt(byte, 16)),
  );
  if (bytes.length === 4) return bytes.join(".");
  if (bytes.length !== 16) return undefined;
  const groups = Array.from({ length: 8 }, (_, i) =>
    (256 * (bytes[2 * i] ?? 0) + (bytes[2 * i + 1] ?? 0)).toString(16),
  );
  return plainAddress(groups.join(":"));
}

/** One way of writing each; an IPv4 address in IPv6 clothes is the IPv4 address. */
function plainAddress(address: string): string {
  const bare = address.split("%")[0] ?? "";
  if (!bare.includes(":")) return bare;
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(bare)?.[1];
  if (mapped !== undefined) return mapped;
  const text = URL.canParse(`http://[${bare}]`) ? new URL(`http://[${bare}]`).hostname.slice(1, -1) : bare;
  const words = /^::ffff:([0-9a-f]{1,4}):([0-9a-f]{1,4})$/.exec(text);
  if (words === null) return text;
  const [high, low] = [Number.parseInt(words[1] ?? "", 16), Number.parseInt(words[2] ?? "", 16)];
  return [high >> 8, high & 255, low >> 8, low & 255].join(".");
}

function pairOfSocket({ localPort = 0, remoteAddress = "", remotePort = 0 }: Socket): string {
  return pairOf(localPort, plainAddress(remoteAddress), remotePort);
}

/**
 * Looks every few seconds whether the peers of these sockets still answer.
 * @param sockets those connected now
 * @param gone told of each that does not; the caller gives it up
 * @returns ends it
 */
export function watchUnanswered(
  sockets: () => readonly Socket[],
  gone: (socket: Socket) => void,
  lookMs: number = LOOK_MS,
): () => void {
  const look = async (): Promise<void> => {
    if (sockets().length === 0) return;
    const tables = await Promise.all(TABLES.map((file) => readFile(file, "latin1").catch(() => "")));
    const unanswered = new Set(tables.flatMap(unansweredIn));
    if (unanswered.size === 0) return;
    for (const socket of sockets()) if (unanswered.has(pairOfSocket(socket))) gone(socket);
  };
  const timer = setInterval(() => void look(), lookMs);
  timer.unref();
  return () => clearInterval(timer);
}
