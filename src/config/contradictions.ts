/** What single values cannot show: contradictions between them. */
import type { z } from "zod";
import { toKn } from "../units/speed.ts";
import { formatAddress } from "./value.ts";

/** Port names of our own. */
export const RESERVED_PORTS = ["page", "shell", "edge", "log"] as const;

type Problem = (path: PropertyKey[], message: string) => void;

/**
 * Adds a problem for each contradiction. It also sees a configuration with other problems in it: what has one, or
 * is missing, cannot be compared and is passed over.
 */
export function contradictions(config: unknown, context: z.core.$RefinementCtx): void {
  const given = withoutBad(
    config,
    context.issues.map((issue) => pathKey(issue.path ?? [])),
    [],
  );
  const problem: Problem = (path, message) => context.addIssue({ code: "custom", path, message });
  checkRode(at(given, "rode"), problem);
  checkScope(at(given, "scope"), problem);
  checkWind(at(given, "watch"), problem);
  checkTide(at(given, "tide"), problem);
  const ports = listed(at(given, "port"));
  checkNames(
    ports.map((port) => at(port, "name")),
    problem,
  );
  checkSharing(ports, at(given, "page"), problem);
  // As written: an address that cannot be read is there all the same.
  for (const [i, port] of listed(at(config, "port")).entries())
    checkSending(port, ["port", i, "send"], problem);
  checkForwarding(ports, problem);
  checkSources(at(given, "sources"), ports, problem);
}

function pathKey(path: readonly PropertyKey[]): string {
  return path.map(String).join("\n");
}

/** A copy in which each value that has a problem is undefined: it may still be as it was written, not SI. */
function withoutBad(value: unknown, bad: readonly string[], path: readonly PropertyKey[]): unknown {
  if (path.length > 0 && bad.includes(pathKey(path))) return undefined;
  if (typeof value !== "object" || value === null) return value;
  if (Array.isArray(value)) return value.map((one, i) => withoutBad(one, bad, [...path, i]));
  const entries = Object.entries(value).map(([key, one]) => [key, withoutBad(one, bad, [...path, key])]);
  return Object.fromEntries(entries);
}

function at(value: unknown, key: string): unknown {
  return typeof value === "object" && value !== null
    ? Object.entries(value).find(([name]) => name === key)?.[1]
    : undefined;
}

function numberAt(value: unknown, key: string): number | undefined {
  const found = at(value, key);
  return typeof found === "number" ? found : undefined;
}

function listed(value: unknown): unknown[] {
  return Array.isArray(value) ? value : [];
}

function isLess(a: number | undefined, b: number | undefined): boolean {
  return a !== undefined && b !== undefined && a < b;
}

function checkRode(rode: unknown, problem: Problem): void {
  if (numberAt(rode, "chain") === 0 && numberAt(rode, "rope") === 0)
    problem(["rode"], "chain and rope are both 0 m: nothing to lie to");
}

function checkScope(scope: unknown, problem: Problem): void {
  const steps = listed(at(scope, "steps"))
    .map((step, i) => ({ i, wind: numberAt(step, "wind"), ratio: numberAt(step, "ratio") }))
    .sort((a, b) => (a.wind ?? 0) - (b.wind ?? 0));
  for (const [n, step] of steps.entries()) {
    const before = steps[n - 1];
    if (before !== undefined && isLess(step.ratio, before.ratio))
      problem(["scope", "steps", step.i, "ratio"], `${step.ratio} is less than ${before.ratio} in less wind`);
  }
  const smallest = steps[0]?.ratio;
  const least = numberAt(scope, "least");
  if (isLess(smallest, least))
    problem(["scope", "least"], `${least} is above the ratio wanted in light wind, ${smallest}`);
}

function checkWind(watch: unknown, problem: Problem): void {
  const gustMps = numberAt(watch, "gust_limit");
  const windMps = numberAt(watch, "wind_limit");
  if (gustMps === undefined || windMps === undefined || gustMps >= windMps) return;
  const figures = `${inKn(gustMps)} is below wind_limit, ${inKn(windMps)}`;
  problem(["watch", "gust_limit"], `${figures}; the limit for gusts is the higher of the two`);
}

/** A height says nothing without its time, nor one height without the other. */
function checkTide(tide: unknown, problem: Problem): void {
  for (const [water, other] of [
    ["high_water", "low_water"],
    ["low_water", "high_water"],
  ] as const) {
    const key = `${water}_height`;
    if (at(tide, key) === undefined) continue;
    const missing = [water, other, `${other}_height`].filter((name) => at(tide, name) === undefined);
    if (missing.length > 0) problem(["tide", key], `says nothing without ${missing.join(" and ")}`);
  }
  const [highM, lowM] = [numberAt(tide, "high_water_height"), numberAt(tide, "low_water_height")];
  if (highM !== undefined && lowM !== undefined && highM <= lowM)
    problem(["tide", "high_water_height"], "is not above low_water_height");
  const [highMs, lowMs] = [numberAt(tide, "high_water"), numberAt(tide, "low_water")];
  if (highMs !== undefined && lowMs !== undefined && Math.abs(highMs - lowMs) > MOST_APART_MS)
    problem(["tide", "low_water"], "is over a day from high_water: not the next turn of the tide");
  if (highMs !== undefined && highMs === lowMs)
    problem(["tide", "low_water"], "is the time of high_water too");
}

const MOST_APART_MS = 24 * 3_600_000;

function inKn(speedMps: number): string {
  return `${Number(toKn(speedMps).toFixed(1))} kn`;
}

function checkNames(names: readonly unknown[], problem: Problem): void {
  for (const [i, name] of names.entries()) {
    if (typeof name !== "string") continue;
    const first = names.indexOf(name);
    if (first !== i)
      problem(["port", i, "name"], `"${name}" is the name of port[${first}] too; give each its own`);
    if ((RESERVED_PORTS as readonly string[]).includes(name))
      problem(["port", i, "name"], `"${name}" is one of rodeward's own; choose another`);
  }
}

/** What only one can have: a serial device, an address listened on, standard input. */
function checkSharing(ports: readonly unknown[], page: unknown, problem: Problem): void {
  const taken = new Map<string, string>();
  const take = (what: string | undefined, by: string, path: PropertyKey[]): void => {
    if (what === undefined) return;
    const before = taken.get(what);
    if (before === undefined) taken.set(what, by);
    else problem(path, `${before} has ${what} already; only one can`);
  };
  for (const [i, port] of ports.entries()) {
    const by = `port[${i}]`;
    const kind = at(port, "kind");
    if (kind === "serial") take(textAt(port, "device"), by, ["port", i, "device"]);
    if (kind === "tcp-server") take(addressAt(port, "listen"), by, ["port", i, "listen"]);
    if (kind === "udp") take(prefixed("UDP ", addressAt(port, "listen")), by, ["port", i, "listen"]);
    if (kind === "unix" || kind === "file") take(textAt(port, "path"), by, ["port", i, "path"]);
    if (kind === "stdin") take("standard input", by, ["port", i, "kind"]);
  }
  take(addressAt(page, "listen"), "page", ["page", "listen"]);
}

function textAt(value: unknown, key: string): string | undefined {
  const found = at(value, key);
  return typeof found === "string" ? found : undefined;
}

/** Port 0 is any free one, so two can have it. */
function addressAt(value: unknown, key: string): string | undefined {
  const found = at(value, key);
  const host = textAt(found, "host");
  const port = numberAt(found, "port");
  return host === undefined || port === undefined || port === 0 ? undefined : formatAddress({ host, port });
}

function prefixed(prefix: string, text: string | undefined): string | undefined {
  return text === undefined ? undefined : prefix + text;
}

/** Datagrams that only come in. */
function isMute(port: unknown): boolean {
  const kind = at(port, "kind");
  return (kind === "udp" || kind === "udp-61162-450") && at(port, "address") === undefined;
}

/** An alarm sent where nothing leaves would be heard by nobody. */
function checkSending(port: unknown, path: PropertyKey[], problem: Problem): void {
  const sends = listed(at(port, "send")).length > 0;
  if (sends && isMute(port)) problem(path, "there is no address to send to; give address as well");
}

function checkSources(sources: unknown, ports: readonly unknown[], problem: Problem): void {
  const names = ports.map((port) => at(port, "name"));
  for (const [key, order] of Object.entries(sources ?? {})) {
    for (const [i, source] of listed(order).entries()) {
      const message = typeof source === "string" ? sourceProblem(source, names) : undefined;
      if (message !== undefined) problem(["sources", key, i], message);
    }
  }
}

/** What a port heard, sent back where it came from, would go round for ever. */
function checkForwarding(ports: readonly unknown[], problem: Problem): void {
  const names = ports.map((port) => at(port, "name"));
  const allKnown = names.every((name) => typeof name === "string");
  const wrong = (source: unknown, i: number): string | undefined => {
    if (typeof source !== "string") return undefined;
    if (source === names[i]) return `"${source}" is this port itself; name others`;
    if (!allKnown || names.includes(source)) return undefined;
    return `"${source}" names no port; there are: ${names.join(", ")}`;
  };
  for (const [i, port] of ports.entries()) {
    const from = listed(at(port, "forward_from"));
    for (const [n, source] of from.entries()) {
      const message = wrong(source, i);
      if (message !== undefined) problem(["port", i, "forward_from", n], message);
    }
    if (from.length > 0 && isMute(port))
      problem(["port", i, "forward_from"], "there is no address to send to; give address as well");
  }
}

const SOURCE = /^([^/]*)(?:\/([A-Z][A-Z0-9]?))?$/;

function sourceProblem(source: string, names: readonly unknown[]): string | undefined {
  const match = SOURCE.exec(source);
  if (match === null) return `"${source}" is no source; write a port's name, or one like "bus/GP"`;
  // A port whose name cannot be read may be the one that is meant.
  if (names.includes(match[1]) || names.includes(undefined)) return undefined;
  return `"${source}" names no port; there are: ${names.join(", ") || "none"}`;
}
