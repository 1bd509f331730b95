/** A problem of the user's making: one clear line, and the exit code. Thrown inside commands, told by main. */
export class Problem extends Error {
  readonly exitCode: 1 | 2;

  /** 1: the work found a problem; 2: bad usage or configuration. */
  constructor(message: string, exitCode: 1 | 2) {
    super(message);
    this.exitCode = exitCode;
  }
}

/** Errors whose message is already one line for a person: a port, the page, a file, another daemon. */
export function told(error: unknown): never {
  if (error instanceof Problem || !(error instanceof Error)) throw error;
  const known =
    error.name === "PortError" ||
    error.name === "PageError" ||
    "code" in error ||
    error.message.startsWith("another rodeward");
  throw known ? new Problem(error.message, 1) : error;
}
