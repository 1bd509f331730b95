/** Why a network link failed, in words that help. */

const BY_CODE: Readonly<Record<string, string>> = {
  ECONNREFUSED: "nothing listens there",
  ECONNRESET: "the other end broke the connection",
  EPIPE: "the other end is gone",
  ETIMEDOUT: "no answer",
  EHOSTUNREACH: "no way there: is that network joined, and the other end switched on?",
  ENETUNREACH: "no way there: is that network joined?",
  ENOTFOUND: "that name is not known",
  EAI_AGAIN: "that name could not be looked up: is the network joined?",
  EADDRINUSE: "it is in use by another program; stop that one, or choose another port",
  EADDRNOTAVAIL: "this machine has no such address; 0.0.0.0 means all it has",
  EAFNOSUPPORT: "this machine has no such kind of address (IPv6?); 0.0.0.0 means all of IPv4",
  EACCES: "not permitted; ports below 1024 are for the system, choose a higher one",
};

/** `127.0.0.1:10110`, `[::1]:10110`. */
export function hostPort(host: string, port: number): string {
  return host.includes(":") ? `[${host}]:${port}` : `${host}:${port}`;
}

/** The reason alone, for a text that has named the address. Several tries (IPv6, IPv4): the first one's. */
export function explainNet(error: unknown): string {
  const code = codeOf(error);
  if (code !== undefined && BY_CODE[code] !== undefined) return BY_CODE[code];
  return (error instanceof Error && error.message) || code || "it failed";
}

function codeOf(error: unknown): string | undefined {
  if (error instanceof AggregateError) return codeOf(error.errors[0]);
  if (!(error instanceof Error) || !("code" in error)) return undefined;
  return typeof error.code === "string" ? error.code : undefined;
}
