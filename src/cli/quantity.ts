/** A quantity with its unit as an argument of the command line. */
import { InvalidArgumentError } from "commander";
import { type QuantityKind, readQuantity } from "../units/quantity.ts";

/** Beyond this a figure is a slip of the pen: no rode is so long, no wind at sea so strong (about 194 kn). */
const MOST: Partial<Record<QuantityKind, { most: number; text: string }>> = {
  length: { most: 1000, text: "1000 m" },
  speed: { most: 100, text: "100 m/s" },
};

/** Reads `35m`, `20kn`: SI out; commander says what is wrong. None that is asked for here can be negative. */
export const quantity = (kind: QuantityKind) => (text: string) => {
  const read = readQuantity(text, kind);
  if (!read.ok) throw new InvalidArgumentError(read.problem);
  if (read.value < 0) throw new InvalidArgumentError(`"${text}" is negative; give a ${kind} of 0 or more`);
  const limit = MOST[kind];
  if (limit !== undefined && read.value > limit.most)
    throw new InvalidArgumentError(`"${text}" is beyond measure; the most that is taken is ${limit.text}`);
  return read.value;
};
