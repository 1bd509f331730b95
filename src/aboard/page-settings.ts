/** Settings as the page shows and sets them: what is set in use enters as a line, like any act. */
import { IN_USE, isSettable, setInUse, type Values } from "../config/in-use.ts";
import { jsonSchema, type Node } from "../config/json-schema.ts";
import type { Config } from "../config/schema.ts";
import { settingText } from "../config/setting-text.ts";
import type { SettingsDeps } from "../page/settings.ts";
import type { SettingLine } from "../page/settings-state.ts";

interface Parts {
  /** As the file says. */
  filed: Config;
  /** All that has been set in use, and the configuration with it. */
  values(): Values;
  now(): Config;
  /** Gives the sentence's body to the core. */
  act(body: string): { ok: boolean };
  file: string | undefined;
}

/** Programs and brokers may have passwords in them, and whoever is on the network may look. */
const NOT_SHOWN: readonly string[] = ["hook", "mqtt"];

export function pageSettings({ filed, values, now, act, file }: Parts): SettingsDeps {
  return {
    units: () => now().page.units,
    state: () => ({ settings: linesOf(now(), filed), file: file ?? null }),
    set(key, value) {
      const tried = setInUse(filed, { ...values(), [key]: value });
      if (!tried.ok) return { ok: false, reason: "format", words: `${key}: ${tried.problem}` };
      return act(`PRDW,SET,${key},${value}`).ok
        ? { ok: true }
        : { ok: false, reason: "range", words: `${key}: not taken` };
    },
  };
}

/** Those that are set in use first, in their order; then the file's other tables. */
function linesOf(now: Config, filed: Config): SettingLine[] {
  const lines: SettingLine[] = [];
  const sections = Object.entries(jsonSchema().properties ?? {});
  for (const [section, node] of sections) {
    if (NOT_SHOWN.includes(section)) continue;
    if (node.properties === undefined) lines.push(...rowLines(section, at(now, section), node));
    for (const [name, one] of Object.entries(node.properties ?? {}))
      lines.push(lineOf(`${section}.${name}`, one, at(at(now, section), name), at(at(filed, section), name)));
  }
  const place = ({ key }: SettingLine) => (isSettable(key) ? IN_USE.indexOf(key) : IN_USE.length);
  return lines.sort((a, b) => place(a) - place(b));
}

function lineOf(key: string, node: Node, value: unknown, filed: unknown): SettingLine {
  const example = node.examples?.[0];
  const edit = isSettable(key)
    ? {
        choices: (node.enum ?? []).map(String),
        example: String(example ?? ""),
        mayUnset: node.default === undefined,
      }
    : null;
  return {
    key,
    says: node.description ?? "",
    value: settingText(value, node) ?? null,
    filed: settingText(filed, node) ?? null,
    edit,
  };
}

/** A block of its own each, such as the ports: its name and kind. */
function rowLines(section: string, rows: unknown, node: Node): SettingLine[] {
  if (!Array.isArray(rows)) return [];
  return rows.map((row: unknown, i) => {
    const value = [at(row, "name"), at(row, "kind")].filter((part) => part !== undefined).join(", ");
    return { key: `${section}[${i}]`, says: node.description ?? "", value, filed: value, edit: null };
  });
}

function at(value: unknown, key: string): unknown {
  return Object.entries(value ?? {}).find(([name]) => name === key)?.[1];
}
