/**
 * What a queued sentence is about, so that on a slow line a newer one can take the place of an older one on
 * the same matter, and of no other. One row a formatter; fields are numbered from 1 after the address, as in
 * the sentence's own definition.
 */

export interface QueueSubject {
  /** Equal for sentences on the same matter. */
  matter: string;
  /** Which of several sentences that belong together: the parts of one report do not replace each other. */
  report: string | undefined;
}

type Row =
  | "never"
  | {
      /** Fields that tell the matter beside the address. */
      matter: readonly number[];
      /** The field that holds the sequential message identifier, if it may come in parts. */
      report: number | undefined;
    };

const ADDRESS_ALONE: Row = { matter: [], report: undefined };

/** XDR: groups of type, value, unit, name; at most this many fit into 82 characters. */
const XDR_GROUPS = 12;
const XDR_HEAD = Array.from({ length: XDR_GROUPS }, (_, i) => [4 * i + 1, 4 * i + 4]).flat();

const ROWS: Readonly<Record<string, Row>> = {
  ALR: { matter: [2], report: undefined },
  ALF: { matter: [8, 9, 10], report: 3 },
  ALC: { matter: [], report: 3 },
  XDR: { matter: XDR_HEAD, report: undefined },
  WPL: { matter: [5], report: undefined },
  MWV: { matter: [2], report: undefined },
  // Each of these is an answer, an event, or one part of many: none stands for another.
  ACK: "never",
  ACN: "never",
  ARC: "never",
  EVE: "never",
  TXT: "never",
  GSV: "never",
  GSA: "never",
  RTE: "never",
  TTM: "never",
  TLL: "never",
  DSC: "never",
  DSE: "never",
};

/**
 * The subject of a sentence as sent (`$…`, no TAG block); undefined when it must not be replaced: proprietary
 * ones (acts and their answers), encapsulated ones (`!…`, one ship or another), and what is no sentence.
 * Formatters without a row are told by their address alone.
 */
export function subjectOf(text: string): QueueSubject | undefined {
  const fields = (text.split("*", 1)[0] ?? "").split(",");
  const address = fields[0] ?? "";
  if (!/^\$[A-OQ-Z][A-Z0-9]{4}$/.test(address)) return undefined;
  const row = ROWS[address.slice(3)] ?? ADDRESS_ALONE;
  if (row === "never") return undefined;
  return {
    matter: [address, ...row.matter.map((at) => fields[at] ?? "")].join(","),
    report: row.report === undefined ? undefined : (fields[row.report] ?? ""),
  };
}
