/**
 * Where the daemon's log goes: stderr, one event a line. Under systemd each line begins with its priority
 * (sd-daemon(3)) and bears no time, since the journal stamps it. What instruments or strangers have said can
 * break no line and steer no terminal.
 */
import { type DestinationStream, type Logger, pino } from "pino";

/** syslog's severities (RFC 5424, table 2) for pino's levels. */
const SEVERITIES: readonly (readonly [atLeast: number, severity: number])[] = [
  [60, 2],
  [50, 3],
  [40, 4],
  [30, 6],
];
const DEBUG = 7;

type Environment = Readonly<Record<string, string | undefined>>;

/** @param write where a line goes, its end included */
export function createLog(env: Environment, write: (text: string) => void): Logger {
  const isJournal = env.JOURNAL_STREAM !== undefined && env.JOURNAL_STREAM !== "";
  const timestamp = isJournal ? false : pino.stdTimeFunctions.isoTime;
  return pino({ base: null, timestamp }, destination(isJournal, write));
}

/** Says it on stderr before it returns: a crash loses nothing. */
export function openLog(env: Environment): Logger {
  const stderr = pino.destination({ dest: 2, sync: true });
  return createLog(
    env,
    unfailing((text) => stderr.write(text)),
  );
}

/** A full card under a redirected stderr loses lines of the log; it must not take whoever writes one down with it. */
export function unfailing(write: (text: string) => void): (text: string) => void {
  return (text) => {
    try {
      write(text);
    } catch {
      // There is nowhere left to say it: the state directory's own trouble is an alert.
    }
  };
}

function destination(isJournal: boolean, write: (text: string) => void): DestinationStream {
  const stream = {
    // pino then leaves the level of each line in `lastLevel`.
    [METADATA]: true,
    lastLevel: 0,
    write(text: string) {
      write(`${isJournal ? `<${severityOf(stream.lastLevel)}>` : ""}${harmless(text)}`);
    },
  };
  return stream;
}

const METADATA = Symbol.for("pino.metadata");

function severityOf(level: number): number {
  return SEVERITIES.find(([atLeast]) => level >= atLeast)?.[1] ?? DEBUG;
}

/** JSON escapes what is below space; DEL, the second set of control characters and line separators it does not. */
function harmless(json: string): string {
  return json.replace(
    /[\x7f-\x9f\u2028\u2029]/g,
    (one) => `\\u${one.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
}
