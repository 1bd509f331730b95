/**
 * Whose a name on the network is (RFC 6762 sections 8.1, 8.2 and 9). In: what we say of our names, and what others
 * say; out: whether that is a conflict, who gives way, and the next name to try. No I/O.
 */
import { type DnsRecord, dataOf, isSameName, type Question } from "./dns.ts";

export interface Named {
  /** What people are shown. */
  name: string;
  /** Of this machine, without `.local`. */
  host: string;
}

/** Names that only one on the network may have: all but those that list services. */
export function isShared({ type }: DnsRecord): boolean {
  return type === "PTR";
}

/** The question that asks whether somebody has one of these names already. */
export function probeFor(records: readonly DnsRecord[]): Question[] {
  const names = new Set(records.filter((record) => !isShared(record)).map(({ name }) => name));
  return [...names].map((name) => ({ name, type: "ANY" }));
}

/**
 * Of our names, those that another has: he says something else of the same kind. A farewell is none, nor is what
 * we said ourselves.
 */
export function conflicts(own: readonly DnsRecord[], heard: readonly DnsRecord[]): string[] {
  const taken = heard.filter((record) => !isShared(record) && record.ttlS > 0 && differs(own, record));
  return [...new Set(taken.map(({ name }) => name.toLowerCase()))];
}

function differs(own: readonly DnsRecord[], heard: DnsRecord): boolean {
  const ours = own.filter((record) => record.type === heard.type && isSameName(record.name, heard.name));
  return ours.length > 0 && !ours.some((record) => dataOf(record).equals(dataOf(heard)));
}

/** Two ask for one name at once: the one whose data come later in order keeps it (section 8.2). */
export function givesWay(own: readonly DnsRecord[], meant: readonly DnsRecord[]): boolean {
  const names = conflicts(own, meant);
  const rank = (records: readonly DnsRecord[]) =>
    Buffer.concat(
      records
        .filter((record) => !isShared(record) && names.includes(record.name.toLowerCase()))
        .map(dataOf)
        .sort(Buffer.compare),
    );
  return names.length > 0 && Buffer.compare(rank(own), rank(meant)) < 0;
}

/** `Plover` → `Plover (2)` → `Plover (3)`; `plover-rodeward` → `plover-rodeward-2`: the nth try. */
export function renamed<T extends Named>(first: T, nth: number): T {
  return nth <= 1 ? first : { ...first, name: `${first.name} (${nth})`, host: `${first.host}-${nth}` };
}
