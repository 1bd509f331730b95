/**
 * The service manager (systemd): told when the watch is ready, that it lives, and when it stops. Node has no
 * datagram Unix sockets, so systemd's own `systemd-notify` is run for each message, which the unit allows with
 * `NotifyAccess=all`. Where nobody manages this process, nothing is run.
 */
import { spawn } from "node:child_process";

export interface ServiceManager {
  /** Is there one at all? */
  readonly isThere: boolean;
  /** The watch is ended when no sign of life has come for so long, ms; undefined: it is not waited for. */
  readonly limitMs: number | undefined;
  ready(status: string): void;
  /** A sign of life. False: left out, for an earlier message is still being given. */
  alive(status: string): boolean;
  /** Resolves when it has been told, or could not be. */
  stopping(): Promise<void>;
}

type Environment = Readonly<Record<string, string | undefined>>;

/** A slow card must not pile up messengers. */
const MESSENGER_LIMIT_MS = 5000;

/** @param failed told at the first message that could not be given, and with undefined when it works again */
export function openServiceManager(
  env: Environment,
  failed: (why: string | undefined) => void,
): ServiceManager {
  const socket = env.NOTIFY_SOCKET;
  if (socket === undefined || socket === "") return NONE;
  let giving: Promise<void> | undefined;
  let failing = false;

  const give = async (words: readonly string[]): Promise<void> => {
    await giving;
    const given = notify(words, { PATH: env.PATH, NOTIFY_SOCKET: socket }).then((why) => {
      if (giving === given) giving = undefined;
      if ((why !== undefined) !== failing) failed(why);
      failing = why !== undefined;
    });
    giving = given;
    await given;
  };
  return {
    isThere: true,
    limitMs: limitOf(env),
    ready: (status) => void give(["READY=1", `STATUS=${status}`]),
    alive(status) {
      if (giving !== undefined) return false;
      void give(["WATCHDOG=1", `STATUS=${status}`]);
      return true;
    },
    stopping: () => give(["STOPPING=1"]),
  };
}

const NONE: ServiceManager = {
  isThere: false,
  limitMs: undefined,
  ready: () => {},
  alive: () => true,
  stopping: () => Promise.resolve(),
};

/** `WATCHDOG_USEC` holds for the process named beside it only (sd_watchdog_enabled(3)). */
function limitOf({ WATCHDOG_USEC, WATCHDOG_PID }: Environment): number | undefined {
  if (WATCHDOG_PID !== undefined && Number(WATCHDOG_PID) !== process.pid) return undefined;
  const limitMs = Number(WATCHDOG_USEC) / 1000;
  return limitMs > 0 ? limitMs : undefined;
}

/** Resolves to undefined when it was told, else why not. Never rejects. */
function notify(words: readonly string[], env: Record<string, string | undefined>) {
  return new Promise<string | undefined>((resolve) => {
    const options = { env, stdio: "ignore", timeout: MESSENGER_LIMIT_MS, killSignal: "SIGKILL" } as const;
    const child = spawn("systemd-notify", words, options);
    child.once("error", (error) => resolve(error.message));
    child.once("exit", (code, signal) =>
      resolve(code === 0 ? undefined : `systemd-notify ended with ${code ?? signal}`),
    );
  });
}
