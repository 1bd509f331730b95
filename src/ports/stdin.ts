/** Lines from standard input: another program's output, or a recorded log. Its end is the port going down. */
import { fstatSync } from "node:fs";
import type { Readable } from "node:stream";
import {
  type OpenPort,
  type PortDeps,
  PortError,
  type PortEvents,
  type PortSettings,
  type PortStats,
} from "./port.ts";
import { messageOf, PortReport } from "./port-report.ts";

/** Where it reads from; tests put a stream of their own here. */
export type OpenInput = () => Readable;

/** Rejects with a PortError when standard input is closed or cannot be read: it will not come back. */
export function openStdin(
  settings: PortSettings<"stdin">,
  events: PortEvents,
  deps: PortDeps,
  openInput: OpenInput = standardInput,
): Promise<OpenPort> {
  return Promise.resolve()
    .then(openInput)
    .then(
      (input) => new StdinPort(settings, events, deps, input),
      (error: unknown) => {
        throw new PortError(settings.name, `cannot read standard input: ${messageOf(error)}`);
      },
    );
}

function standardInput(): Readable {
  if (fstatSync(0).isDirectory()) throw new Error("it is a directory");
  return process.stdin;
}

class StdinPort implements OpenPort {
  readonly name: string;
  readonly kind = "stdin";
  readonly #report: PortReport;
  readonly #input: Readable;

  constructor(settings: PortSettings<"stdin">, events: PortEvents, deps: PortDeps, input: Readable) {
    this.name = settings.name;
    this.#input = input;
    this.#report = new PortReport(settings, events, deps.log);
    const splitter = this.#report.splitter();
    input.on("data", splitter.push);
    input.on("end", () => {
      splitter.flush();
      this.#report.down("standard input has ended");
    });
    input.on("error", (error) => {
      splitter.discard();
      this.#report.down(`standard input failed: ${messageOf(error)}`);
    });
    this.#report.up("reading standard input");
  }

  /** There is nobody to send to: dropped and counted. */
  send(): void {
    this.#report.stats.dropped += 1;
  }

  stats(): PortStats {
    return { ...this.#report.stats };
  }

  close(): Promise<void> {
    this.#report.silence();
    this.#input.destroy();
    return Promise.resolve();
  }
}
