/**
 * Announces a server of sentences on the boat's network by multicast DNS (RFC 6762, RFC 6763): on start, when it
 * is asked for, and when it goes. The name of the machine that it gives is one of our own, so that another
 * announcer of this machine is not contradicted; it is not probed for first, so two machines of one name clash.
 */
import { createSocket, type RemoteInfo, type Socket } from "node:dgram";
import { type DnsRecord, decodeMessage, encodeMessage, label, type Question } from "./dns.ts";
import { MDNS_HOST, MDNS_PORT, SERVICE } from "./service-query.ts";

export interface Announced {
  /** What people are shown. */
  name: string;
  /** Of this machine, without `.local`. */
  host: string;
  port: number;
  /** IPv4 addresses it is reached by. */
  addresses: readonly string[];
}

export interface Announcement {
  close(): Promise<void>;
}

/** RFC 6762 section 10: 2 minutes for what names a machine, 75 for the rest. */
const HOST_TTL_S = 120;
const SERVICE_TTL_S = 4500;
/** An asker that is no multicast one must not keep it long (section 6.7). */
const LEGACY_TTL_S = 10;
const META = "_services._dns-sd._udp.local";
const AGAIN_MS = 1000;

/** All that can be said of the service. */
export function recordsOf({ name, host, port, addresses }: Announced): DnsRecord[] {
  const instance = `${label(name)}.${SERVICE}`;
  const target = `${label(host)}.local`;
  return [
    { name: SERVICE, ttlS: SERVICE_TTL_S, type: "PTR", target: instance },
    { name: META, ttlS: SERVICE_TTL_S, type: "PTR", target: SERVICE },
    { name: instance, ttlS: HOST_TTL_S, type: "SRV", port, target },
    { name: instance, ttlS: SERVICE_TTL_S, type: "TXT", texts: [] },
    ...addresses.map((address): DnsRecord => ({ name: target, ttlS: HOST_TTL_S, type: "A", address })),
  ];
}

/** What answers these questions, and what will be asked next, with it. */
export function answersTo(questions: readonly Question[], records: readonly DnsRecord[]): DnsRecord[] {
  const asked = (record: DnsRecord) =>
    questions.some(
      ({ name, type }) =>
        name.toLowerCase() === record.name.toLowerCase() && (type === "ANY" || type === record.type),
    );
  const direct = records.filter(asked);
  if (!direct.some(({ name }) => name === SERVICE)) return direct;
  return [...direct, ...records.filter((record) => !direct.includes(record) && record.name !== META)];
}

/** Where it is announced; tests do so elsewhere. */
export interface Place {
  host: string;
  port: number;
  from: readonly string[];
}

/** Never rejects: a network on which it cannot be announced is said, and displays there need the address. */
export async function announceService(
  announced: Announced,
  failed: (why: string) => void,
  place?: Place,
): Promise<Announcement> {
  const { host, port, from } = place ?? { host: MDNS_HOST, port: MDNS_PORT, from: announced.addresses };
  const records = recordsOf(announced);
  const sockets = (await Promise.all(from.map((address) => joined(host, port, address, failed)))).flatMap(
    (one) => one ?? [],
  );
  const tell = (socket: Socket, told: readonly DnsRecord[]) =>
    new Promise<void>((resolve) => {
      const bytes = encodeMessage({ id: 0, isResponse: true, questions: [], records: [...told] }, isShared);
      socket.send(bytes, port, host, () => resolve());
    });
  const tellAll = (told: readonly DnsRecord[]) => Promise.all(sockets.map((socket) => tell(socket, told)));
  for (const socket of sockets) {
    socket.on("message", (bytes, asker) => {
      const message = decodeMessage(bytes);
      if (message === undefined || message.isResponse) return;
      const answers = answersTo(message.questions, records);
      if (answers.length === 0) return;
      if (asker.port === port) void tell(socket, answers);
      else answerAlone(socket, asker, message.id, message.questions, answers);
    });
  }
  await tellAll(records);
  const again = setTimeout(() => void tellAll(records), AGAIN_MS);
  return {
    async close() {
      clearTimeout(again);
      await tellAll(records.map((record) => ({ ...record, ttlS: 0 })));
      for (const socket of sockets) socket.close();
    },
  };
}

/** Others serve sentences too; the rest is ours alone. */
function isShared({ type }: DnsRecord): boolean {
  return type === "PTR";
}

function answerAlone(
  socket: Socket,
  asker: RemoteInfo,
  id: number,
  questions: Question[],
  answers: readonly DnsRecord[],
): void {
  const records = answers.map((record) => ({ ...record, ttlS: LEGACY_TTL_S }));
  socket.send(
    encodeMessage({ id, isResponse: true, questions, records }),
    asker.port,
    asker.address,
    () => {},
  );
}

function joined(
  host: string,
  port: number,
  address: string,
  failed: (why: string) => void,
): Promise<Socket | undefined> {
  return new Promise((resolve) => {
    const socket = createSocket({ type: "udp4", reuseAddr: true });
    const fail = (error: Error) => {
      failed(`cannot announce on ${address}: ${error.message}`);
      socket.close();
      resolve(undefined);
    };
    socket.once("error", fail);
    socket.bind(port, () => {
      try {
        socket.addMembership(host, address);
        socket.setMulticastInterface(address);
        socket.setMulticastTTL(255);
      } catch (error) {
        fail(error instanceof Error ? error : new Error(String(error)));
        return;
      }
      socket.removeAllListeners("error");
      socket.on("error", (error) => failed(`announcing on ${address}: ${error.message}`));
      resolve(socket);
    });
  });
}
