/** Measurements in groups of four (XDR), water temperature, and free text. */
import { decimal, decimalsOf, type Field, fixed, integer, letter, text } from "../field.ts";
import { isRefused, refused } from "../frame.ts";
import { row } from "../row.ts";

export interface Measurement {
  /** Type letter: D length, A angle, U voltage, G generic, … */
  type: string;
  value: number | undefined;
  unit: string;
  name: string;
  /** Decimals to write it with. */
  decimals: number;
}

const GROUP = 4;
const value = decimal(1);

/** As many groups as fit. A value that is no number refuses the sentence. */
const measurements: Field<Measurement[]> = {
  width: "rest",
  read: (places, at) => {
    const groups: Measurement[] = [];
    for (let i = at; i + GROUP - 1 < places.length; i += GROUP) {
      const number = value.read(places, i + 1);
      if (isRefused(number)) return refused("bad-number");
      groups.push({
        type: places[i] ?? "",
        value: number,
        unit: places[i + 2] ?? "",
        name: text.read(places, i + 3)?.toString() ?? "",
        decimals: decimalsOf(places[i + 1] ?? ""),
      });
    }
    return groups;
  },
  write: (groups) =>
    (groups ?? []).flatMap((g) => [
      g.type,
      g.value === undefined ? "" : fixed(g.value, g.decimals),
      g.unit,
      ...text.write(g.name),
    ]),
};

export const transducerSentences = [
  row(
    "XDR",
    "transducer measurements",
    { measurements },
    {
      least: 4,
      example: "$IIXDR,D,42.5,M,RODEREQ,G,5.2,,SCOPE,A,6.1,D,PULL*0D",
    },
  ),
  row(
    "MTW",
    "water temperature",
    { celsius: decimal(1), unit: letter("C") },
    { least: 2, example: "$YXMTW,17.9,C*1D" },
  ),
  row(
    "TXT",
    "text",
    {
      total: integer({ pad: 2, min: 1, max: 99 }),
      number: integer({ pad: 2, min: 1, max: 99 }),
      identifier: integer({ pad: 2, min: 0, max: 99 }),
      text,
    },
    { least: 4, example: "$IITXT,01,01,02,CIRCLE^2C 35 M*2C" },
  ),
] as const;
