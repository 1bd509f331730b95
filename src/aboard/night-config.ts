/** The configuration that a night began with, as it was kept beside it. */
import type { Config } from "../config/schema.ts";
import { bareConfig } from "../config/settings.ts";

type Section = Readonly<Record<string, unknown>>;

/**
 * What an earlier version did not know yet has its default. Undefined when it is no boat's configuration: then
 * there is nothing to reckon her rode by.
 */
export function nightConfig(text: string): Config | undefined {
  const kept = objectIn(text);
  if (!isSection(kept?.rode)) return undefined;
  const whole = { ...bareConfig(), ...kept } as Record<string, unknown>;
  for (const [key, usual] of Object.entries(bareConfig())) {
    const own = kept[key];
    if (isSection(usual)) whole[key] = isSection(own) ? { ...usual, ...own } : usual;
  }
  return whole as unknown as Config;
}

function objectIn(text: string): Section | undefined {
  try {
    const value: unknown = JSON.parse(text);
    return isSection(value) ? value : undefined;
  } catch {
    return undefined;
  }
}

function isSection(value: unknown): value is Section {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
