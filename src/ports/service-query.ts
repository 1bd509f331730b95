/**
 * Finds services of sentences on the boat's network by multicast DNS (RFC 6762), type `_nmea-0183._tcp`. It asks
 * from a port of its own, so that answers come to it alone and no other program is disturbed. Own code and no
 * library: it asks one question and reads five types of record.
 */
import { createSocket, type Socket } from "node:dgram";
import { networkInterfaces } from "node:os";
import { setTimeout as sleep } from "node:timers/promises";
import { type DnsRecord, decodeMessage, encodeMessage, isSameName, type Question } from "./dns.ts";

export const SERVICE = "_nmea-0183._tcp.local";
export const MDNS_HOST = "224.0.0.251";
export const MDNS_PORT = 5353;

export interface FoundService {
  /** What its owner calls it. */
  name: string;
  /** Undefined where it did not say. */
  host: string | undefined;
  port: number | undefined;
  addresses: readonly string[];
}

/** Where to ask; tests ask elsewhere. */
export interface Asked {
  host: string;
  port: number;
  /** Own addresses to ask from: one for each network. */
  from: readonly string[];
}

/** IPv4 addresses of this machine on networks that have others on them. */
export function networkAddresses(): string[] {
  const all = Object.values(networkInterfaces()).flatMap((list) => list ?? []);
  return all.filter(({ family, internal }) => family === "IPv4" && !internal).map(({ address }) => address);
}

/** Asks twice, and once more for what was left unsaid. Resolves after `forMs`; networks that fail are passed over. */
export async function findServices(forMs: number, asked?: Asked): Promise<FoundService[]> {
  const { host, port, from } = asked ?? { host: MDNS_HOST, port: MDNS_PORT, from: networkAddresses() };
  const records: DnsRecord[] = [];
  const sockets = (await Promise.all(from.map((address) => openAsking(address, records)))).flatMap(
    (one) => one ?? [],
  );
  const ask = (questions: readonly Question[]) => {
    if (questions.length === 0) return;
    const bytes = encodeMessage({ id: 0, isResponse: false, questions: [...questions], records: [] });
    for (const socket of sockets) socket.send(bytes, port, host, () => {});
  };
  const service: Question = { name: SERVICE, type: "PTR" };
  ask([service]);
  await sleep(forMs / 3);
  ask([service, ...unsaid(records)]);
  await sleep(forMs / 3);
  ask(unsaid(records));
  await sleep(forMs / 3);
  for (const socket of sockets) socket.close();
  return servicesIn(records);
}

const MOST_RECORDS = 1000;

async function openAsking(address: string, records: DnsRecord[]): Promise<Socket | undefined> {
  const socket = createSocket("udp4");
  socket.on("message", (bytes) => {
    const message = decodeMessage(bytes);
    if (message?.isResponse === true && records.length < MOST_RECORDS) records.push(...message.records);
  });
  const isOpen = await new Promise<boolean>((resolve) => {
    socket.once("error", () => resolve(false));
    socket.bind(0, address, () => resolve(true));
  });
  if (!isOpen) return undefined;
  socket.on("error", () => {}); // a network that goes away: its answers are missing
  return socket;
}

/** Names that were told without what they stand for. */
function unsaid(records: readonly DnsRecord[]): Question[] {
  return servicesOf(records).flatMap((instance): Question[] => {
    const srv = srvOf(records, instance);
    if (srv === undefined) return [{ name: instance, type: "SRV" }];
    return addressesOf(records, srv.target).length > 0 ? [] : [{ name: srv.target, type: "A" }];
  });
}

function servicesOf(records: readonly DnsRecord[]): string[] {
  const instances = records.flatMap((record) =>
    record.type === "PTR" && isSameName(record.name, SERVICE) && record.ttlS > 0 ? [record.target] : [],
  );
  return [...new Set(instances)];
}

function srvOf(records: readonly DnsRecord[], instance: string) {
  return records
    .filter((record) => record.type === "SRV")
    .find((record) => isSameName(record.name, instance));
}

function addressesOf(records: readonly DnsRecord[], host: string): string[] {
  const found = records.flatMap((record) =>
    (record.type === "A" || record.type === "AAAA") && isSameName(record.name, host) ? [record.address] : [],
  );
  return [...new Set(found)];
}

function servicesIn(records: readonly DnsRecord[]): FoundService[] {
  return servicesOf(records).map((instance) => {
    const srv = srvOf(records, instance);
    const name = instance.slice(0, Math.max(0, instance.length - SERVICE.length - 1));
    return {
      name: name.replace(/\\(.)/g, "$1"),
      host: srv?.target,
      port: srv?.port,
      addresses: srv === undefined ? [] : addressesOf(records, srv.target),
    };
  });
}
