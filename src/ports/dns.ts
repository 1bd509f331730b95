/**
 * DNS messages, as far as finding and announcing a service by multicast needs them (RFC 1035 section 4, RFC 6762,
 * RFC 6763). In: bytes or records; out: records or bytes. A message that cannot be read is undefined, never a throw.
 */

export type Type = "A" | "AAAA" | "PTR" | "SRV" | "TXT";

const NUMBERS: Readonly<Record<Type, number>> = { A: 1, PTR: 12, TXT: 16, AAAA: 28, SRV: 33 };
const ANY = 255;
const CLASS_IN = 1;
/** RFC 6762: in an answer, "these are all there are of this name"; in a question, "answer me alone". */
const TOP_BIT = 0x8000;
const RESPONSE = 0x8400;

export interface Question {
  /** Labels joined by dots; a label may itself hold dots and blanks, which are told apart as `\.`. */
  name: string;
  /** Undefined: any, or one that is of no use here. */
  type: Type | "ANY" | undefined;
}

export type DnsRecord = { name: string; ttlS: number } & (
  | { type: "A" | "AAAA"; address: string }
  | { type: "PTR"; target: string }
  | { type: "SRV"; target: string; port: number }
  | { type: "TXT"; texts: readonly string[] }
);

export interface Message {
  id: number;
  isResponse: boolean;
  questions: Question[];
  records: DnsRecord[];
}

/** Names of DNS know no capitals (RFC 1035, 2.3.3). */
export function isSameName(a: string, b: string): boolean {
  return a.toLowerCase() === b.toLowerCase();
}

/** One label of a name: what is between the dots, with its own dots marked. */
export function label(text: string): string {
  return text.replace(/[\\.]/g, "\\$&");
}

function labelsOf(name: string): string[] {
  return (name.match(/(?:\\.|[^.\\])+/g) ?? []).map((one) => one.replace(/\\(.)/g, "$1"));
}

function nameBytes(name: string): Buffer {
  const parts = labelsOf(name).map((one) => {
    const bytes = Buffer.from(one, "utf8").subarray(0, 63);
    return Buffer.concat([Buffer.from([bytes.length]), bytes]);
  });
  return Buffer.concat([...parts, Buffer.from([0])]);
}

function words(...values: number[]): Buffer {
  const bytes = Buffer.alloc(2 * values.length);
  for (const [i, value] of values.entries()) bytes.writeUInt16BE(value, 2 * i);
  return bytes;
}

/** What a record says of its name, as bytes. */
export function dataOf(record: DnsRecord): Buffer {
  switch (record.type) {
    case "A":
      return Buffer.from(record.address.split(".").map(Number));
    case "AAAA":
      return ipv6Bytes(record.address);
    case "PTR":
      return nameBytes(record.target);
    case "SRV":
      return Buffer.concat([words(0, 0, record.port), nameBytes(record.target)]);
    case "TXT": {
      const texts = record.texts.length === 0 ? [""] : record.texts;
      const parts = texts.map((text) => Buffer.from(text, "utf8").subarray(0, 255));
      return Buffer.concat(parts.flatMap((bytes) => [Buffer.from([bytes.length]), bytes]));
    }
  }
}

function ipv6Bytes(address: string): Buffer {
  const [head = "", tail] = (address.split("%")[0] ?? "").split("::");
  const groups = (text: string) =>
    text === "" ? [] : text.split(":").map((group) => Number.parseInt(group, 16));
  const first = groups(head);
  const last = tail === undefined ? [] : groups(tail);
  const zeros = Array.from({ length: Math.max(0, 8 - first.length - last.length) }, () => 0);
  return words(...first, ...zeros, ...last);
}

/**
 * Records are the answers of a response, and in a question what its asker means to answer for (RFC 6762
 * section 8.2).
 * @param shared of names that others may answer for too; the rest are ours alone (the cache-flush bit)
 */
export function encodeMessage(message: Message, shared: (record: DnsRecord) => boolean = () => true): Buffer {
  const { id, isResponse, questions, records } = message;
  const [answers, meant] = isResponse ? [records.length, 0] : [0, records.length];
  const head = words(id, isResponse ? RESPONSE : 0, questions.length, answers, meant, 0);
  const asked = questions.map(({ name, type }) =>
    Buffer.concat([
      nameBytes(name),
      words(type === undefined || type === "ANY" ? ANY : NUMBERS[type], CLASS_IN),
    ]),
  );
  const told = records.map((record) => {
    const data = dataOf(record);
    const inClass = CLASS_IN + (isResponse && !shared(record) ? TOP_BIT : 0);
    const ttl = words(record.ttlS >>> 16, record.ttlS & 0xffff);
    return Buffer.concat([
      nameBytes(record.name),
      words(NUMBERS[record.type], inClass),
      ttl,
      words(data.length),
      data,
    ]);
  });
  return Buffer.concat([head, ...asked, ...told]);
}

const MOST_RECORDS = 200;
const MOST_LABELS = 64;

/** Records of other types are passed over. */
export function decodeMessage(bytes: Buffer): Message | undefined {
  try {
    return read(bytes);
  } catch {
    return undefined; // it ends too early, or points in circles
  }
}

function read(bytes: Buffer): Message {
  const word = (at: number) => bytes.readUInt16BE(at);
  const message: Message = { id: word(0), isResponse: (word(2) & 0x8000) !== 0, questions: [], records: [] };
  let at = 12;
  for (let n = word(4); n > 0; n--) {
    const { name, end } = readName(bytes, at);
    const number = word(end);
    message.questions.push({ name, type: number === ANY ? "ANY" : typeOf(number) });
    at = end + 4;
  }
  for (let n = Math.min(MOST_RECORDS, word(6) + word(8) + word(10)); n > 0; n--) {
    const { name, end } = readName(bytes, at);
    const length = word(end + 8);
    const record = readRecord(bytes, typeOf(word(end)), name, bytes.readUInt32BE(end + 4), end + 10, length);
    if (record !== undefined) message.records.push(record);
    at = end + 10 + length;
  }
  return message;
}

function typeOf(number: number): Type | undefined {
  return (Object.keys(NUMBERS) as Type[]).find((type) => NUMBERS[type] === number);
}

function readRecord(
  bytes: Buffer,
  type: Type | undefined,
  name: string,
  ttlS: number,
  at: number,
  length: number,
): DnsRecord | undefined {
  const data = bytes.subarray(at, at + length);
  switch (type) {
    case "A":
      return { name, ttlS, type, address: data.subarray(0, 4).join(".") };
    case "AAAA": {
      const groups = Array.from({ length: 8 }, (_, i) => data.readUInt16BE(2 * i).toString(16));
      return {
        name,
        ttlS,
        type,
        address: groups
          .join(":")
          .replace(/\b0(?::0)+\b/, ":")
          .replace(/:{3,}/, "::"),
      };
    }
    case "PTR":
      return { name, ttlS, type, target: readName(bytes, at).name };
    case "SRV":
      return { name, ttlS, type, port: data.readUInt16BE(4), target: readName(bytes, at + 6).name };
    case "TXT": {
      const texts: string[] = [];
      for (let i = 0; i < data.length; i += 1 + (data[i] ?? 0))
        texts.push(data.toString("utf8", i + 1, i + 1 + (data[i] ?? 0)));
      return { name, ttlS, type, texts };
    }
    case undefined:
      return undefined;
  }
}

/** A name may end in a pointer to an earlier one; it must not point in circles. */
function readName(bytes: Buffer, from: number): { name: string; end: number } {
  const labels: string[] = [];
  let at = from;
  let end: number | undefined;
  for (let steps = 0; steps < MOST_LABELS; steps++) {
    const length = bytes.readUInt8(at);
    if (length >= 0xc0) {
      end ??= at + 2;
      at = bytes.readUInt16BE(at) & 0x3fff;
    } else if (length === 0) {
      return { name: labels.join("."), end: end ?? at + 1 };
    } else {
      labels.push(label(bytes.toString("utf8", at + 1, at + 1 + length)));
      at += 1 + length;
    }
  }
  throw new Error("a name without end");
}
