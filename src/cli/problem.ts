/** A problem of the user's making: one clear line, and the exit code. Thrown inside commands, told by main. */
export class Problem extends Error {
  readonly exitCode: 1 | 2;

  /** 1: the work found a problem; 2: bad usage or configuration. */
  constructor(message: string, exitCode: 1 | 2) {
    super(message);
    this.exitCode = exitCode;
  }
}
