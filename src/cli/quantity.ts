/** A quantity with its unit as an argument of the command line. */
import { InvalidArgumentError } from "commander";
import { type QuantityKind, readQuantity } from "../units/quantity.ts";

/** Reads `35m`, `20kn`: SI out; commander says what is wrong. None that is asked for here can be negative. */
export const quantity = (kind: QuantityKind) => (text: string) => {
  const read = readQuantity(text, kind);
  if (!read.ok) throw new InvalidArgumentError(read.problem);
  if (read.value < 0) throw new InvalidArgumentError(`"${text}" is negative; give a ${kind} of 0 or more`);
  return read.value;
};
