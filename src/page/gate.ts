/**
 * Who may ask: by which name the page was called (Host: a hostile site may point its own name at this boat, DNS
 * rebinding) and from which page an act comes (Origin: a hostile site may post to this boat's address).
 */
import { isIPv4, isIPv6 } from "node:net";

const HOST = /^(?:\[([0-9a-f:.]{2,45})\]|([a-z0-9._-]{1,253}))(?::\d{1,5})?$/;

/** The names the page answers to: localhost, this machine's with and without `.local`, and those allowed. */
export function hostNames(machine: string, allowed: readonly string[]): ReadonlySet<string> {
  const own = machine.toLowerCase();
  const short = own.split(".")[0] ?? own;
  const names = ["localhost", own, short, `${short}.local`, ...allowed.map((name) => name.toLowerCase())];
  return new Set(names.filter((name) => name !== ""));
}

/** Is this Host header (name or address, with or without port) one of ours? Addresses always are. */
export function hostIsOurs(host: string | undefined, names: ReadonlySet<string>): boolean {
  const match = HOST.exec(host?.toLowerCase() ?? "");
  if (match === null) return false;
  const [, v6, name = ""] = match;
  if (v6 !== undefined) return isIPv6(v6);
  return isIPv4(name) || names.has(name.replace(/\.$/, ""));
}

/** Does the Origin header name this same host and port? A missing one, or `null`, does not. */
export function originIsOurs(origin: string | undefined, host: string | undefined): boolean {
  if (origin === undefined || host === undefined) return false;
  const from = readUrl(origin);
  if (from === undefined || from.origin !== origin.toLowerCase()) return false;
  if (from.protocol !== "http:" && from.protocol !== "https:") return false;
  return from.host === readUrl(`${from.protocol}//${host}`)?.host;
}

function readUrl(text: string): URL | undefined {
  return URL.canParse(text) ? new URL(text) : undefined;
}
