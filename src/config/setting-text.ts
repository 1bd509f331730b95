/** Values as the file would hold them, without quotes: SI in, the unit of the schema's example out. */
import { type QuantityKind, readQuantity } from "../units/quantity.ts";
import { formatInstant } from "../units/time.ts";
import type { Node } from "./json-schema.ts";
import { formatAddress } from "./value.ts";

const KINDS: readonly QuantityKind[] = [
  "length",
  "speed",
  "angle",
  "duration",
  "mass",
  "area",
  "voltage",
  "force",
];
const INSTANT = /^\d{4}-\d\d-\d\dT/;
/** Finer than any of them is written. */
const DIGITS = 6;

/** Undefined: not set. `node` is the schema of what was written. */
export function settingText(value: unknown, node: Node): string | undefined {
  if (value === undefined) return undefined;
  if (typeof value === "number") return numberText(value, node.examples?.[0]);
  if (Array.isArray(value)) return value.map((one) => settingText(one, node.items ?? {}) ?? "").join(", ");
  if (typeof value !== "object" || value === null) return String(value);
  if (isAddress(value)) return formatAddress(value);
  const parts = Object.entries(value).map(
    ([key, one]) => settingText(one, node.properties?.[key] ?? {}) ?? "",
  );
  return parts.join(": ");
}

function isAddress(value: object): value is { host: string; port: number } {
  return "host" in value && "port" in value;
}

function numberText(value: number, example: unknown): string {
  if (typeof example !== "string") return String(value);
  if (INSTANT.test(example)) return formatInstant(value);
  const unit = example.replace(/^[-+\d.\s]+/, "");
  const read = KINDS.map((kind) => readQuantity(`1 ${unit}`, kind)).find(({ ok }) => ok);
  return read?.ok === true ? `${Number((value / read.value).toPrecision(DIGITS))} ${unit}` : String(value);
}
