/** A quantity with its unit as an argument of the command line. */
import { InvalidArgumentError } from "commander";
import { type QuantityKind, readQuantity } from "../units/quantity.ts";

/** Reads `35m`, `20kn`: SI out; commander says what is wrong. */
export const quantity = (kind: QuantityKind) => (text: string) => {
  const read = readQuantity(text, kind);
  if (!read.ok) throw new InvalidArgumentError(read.problem);
  return read.value;
};
