/** The hooks of a configuration that may be faulty elsewhere: a dead watch must be heard all the same. */
import { parse } from "smol-toml";
import { type HookConfig, hook } from "./hook-schema.ts";

/** Those that can be read. None where the text is no TOML at all. */
export function hooksIn(text: string): HookConfig[] {
  const data = parsed(text);
  const given: unknown[] = Array.isArray(data.hook) ? data.hook : [];
  return given.flatMap((one) => {
    const read = hook.safeParse(one);
    return read.success ? [read.data] : [];
  });
}

function parsed(text: string): Record<string, unknown> {
  try {
    return parse(text);
  } catch {
    return {};
  }
}
