/** What a listener hears, counted by port, talker and sentence, with the last value in words. */
import type { Reason } from "../nmea/frame.ts";
import type { Piece, Sentence } from "../nmea/table.ts";
import { valueInWords } from "./value-words.ts";

export interface HeardRow {
  port: string;
  sentence: string;
  talker: string;
  count: number;
  last: string;
}

export interface Account {
  take(port: string, pieces: readonly Piece[]): void;
  /** By port, then by name. */
  rows(): HeardRow[];
  refused(port: string): Partial<Record<Reason, number>>;
}

/** A noisy wire can invent names without end. */
const MOST_ROWS = 200;

export function createAccount(): Account {
  const rows = new Map<string, HeardRow>();
  const refusals = new Map<string, Partial<Record<Reason, number>>>();

  const refuse = (port: string, reason: Reason): void => {
    const own = refusals.get(port) ?? {};
    own[reason] = (own[reason] ?? 0) + 1;
    refusals.set(port, own);
  };
  const rowFor = (port: string, talker: string, sentence: string): HeardRow | undefined => {
    const key = `${port} ${talker} ${sentence}`;
    const known = rows.get(key);
    if (known !== undefined || rows.size >= MOST_ROWS) return known;
    const row = { port, sentence, talker, count: 0, last: "" };
    rows.set(key, row);
    return row;
  };
  return {
    take(port, pieces) {
      for (const piece of pieces) {
        if (piece.kind === "refused") {
          refuse(port, piece.reason);
          continue;
        }
        const { talker, name } = nameOf(piece);
        const row = rowFor(port, talker, name);
        if (row === undefined) continue;
        row.count++;
        row.last = lastOf(piece);
      }
    },
    rows: () => [...rows.values()].sort((a, b) => order(a).localeCompare(order(b))),
    refused: (port) => refusals.get(port) ?? {},
  };
}

function order(row: HeardRow): string {
  return `${row.port} ${row.sentence} ${row.talker}`;
}

type Heard = Exclude<Piece, { kind: "refused" }>;

function nameOf(piece: Heard): { talker: string; name: string } {
  const address = piece.kind === "sentence" ? addressOf(piece.sentence) : piece.address;
  return address.startsWith("P")
    ? { talker: "P", name: address }
    : { talker: address.slice(0, 2), name: address.slice(2) };
}

function addressOf({ id, talker }: Sentence): string {
  return id.startsWith("P") ? id : talker + id;
}

function lastOf(piece: Heard): string {
  if (piece.kind === "sentence") return valueInWords(piece.sentence);
  return piece.kind === "ignored" ? "passed over: of no use at anchor" : "passed over: not known";
}
