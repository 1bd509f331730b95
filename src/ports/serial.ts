/**
 * A serial line. Output is paced (line-budget.ts). The device may vanish and come back: it is opened again by
 * the name it was given, so a name under /dev/serial/by-id survives a change of socket.
 */
import type { SerialPort } from "serialport";
import { type Connect, KeptLink, type Wire, type WireEvents } from "./kept-link.ts";
import { createLineBudget } from "./line-budget.ts";
import { type OpenPort, type PortDeps, type PortEvents, type PortSettings, wireLine } from "./port.ts";
import { messageOf } from "./port-report.ts";
import { deviceFacts, explainSerial } from "./serial-problem.ts";

type OpenDevice = Awaited<ReturnType<(typeof SerialPort)["binding"]["open"]>>;

const READ_BYTES = 4096;
const ALIVE_EVERY_MS = 1000;
/** A write that takes this long: the other end takes nothing (the line itself needs 0.2 s at most). */
const STUCK_MS = 5000;
/** Said by the binding, in the C library's words, where a line has no speed that can be asked for. */
const NO_SPEED = /not implemented|inappropriate ioctl|invalid argument|not supported/i;

/** Always succeeds: an absent device is a port that is down, and is tried again. */
export function openSerial(
  settings: PortSettings<"serial">,
  events: PortEvents,
  deps: PortDeps,
): Promise<OpenPort> {
  const connect: Connect = async (on, signal) => {
    const device = await openDevice(settings);
    if (signal.aborted) {
      await device.close();
      throw new Error("given up");
    }
    return runDevice(device, settings, on);
  };
  return Promise.resolve(new KeptLink(settings, events, deps, connect));
}

/**
 * The lock is flock(2): it keeps out a second program that asks for the same lock. Loaded only here: the native
 * part costs some 50 ms at start, and a boat without serial ports does not need it.
 */
async function openDevice({ device, baud }: PortSettings<"serial">): Promise<OpenDevice> {
  const { SerialPort } = await import("serialport");
  try {
    return await SerialPort.binding.open({ path: device, baudRate: baud, lock: true });
  } catch (error) {
    const message = messageOf(error).replace(/^Error:? */, "");
    throw new Error(explainSerial(device, await deviceFacts(device), message));
  }
}

function runDevice(device: OpenDevice, { device: path, baud }: PortSettings<"serial">, on: WireEvents): Wire {
  const vanished = (error: unknown) => on.lost(`lost ${path}: ${lossInWords(messageOf(error))}`);
  const budget = createLineBudget({
    baud,
    write: (text) => writeOut(device, text, on, vanished),
    dropped: on.dropped,
    replaced: on.replaced,
  });
  readOn(device, on).catch(vanished);
  const stopWatching = watchAlive(device, vanished);
  return {
    how: `${path} at ${baud} baud`,
    address: undefined,
    send: budget.send,
    async close() {
      stopWatching();
      budget.close();
      // Else closing waits for a line that takes nothing, up to half a minute.
      if (budget.writing()) await device.flush().catch(() => {});
      await device.close().catch(() => {});
    },
  };
}

async function readOn(device: OpenDevice, on: WireEvents): Promise<never> {
  const buffer = Buffer.allocUnsafe(READ_BYTES);
  for (;;) {
    const { bytesRead } = await device.read(buffer, 0, buffer.length);
    on.data(buffer.subarray(0, bytesRead));
  }
}

async function writeOut(
  device: OpenDevice,
  text: string,
  on: WireEvents,
  vanished: (error: unknown) => void,
): Promise<void> {
  const stuck = setTimeout(
    () => on.complain("port takes no output", "the other end takes nothing; what waits is dropped"),
    STUCK_MS,
  );
  try {
    await device.write(wireLine(text));
    on.sent();
  } catch (error) {
    on.dropped(1);
    vanished(error);
  } finally {
    clearTimeout(stuck);
  }
}

/**
 * Asks the line for its speed once a second, which fails once the device is gone. Needed because a read of a
 * line that hung up gives 0 bytes, not an error, and the serialport binding then reads again and again: the
 * loss would never be seen, and one core would be kept busy. (Seen on a pseudo-terminal in 15 of 40
 * losses under full input.)
 * Where the system cannot tell the speed at all (first answer), nothing is watched; a line that is gone before
 * the first answer is lost like any other.
 */
function watchAlive(device: OpenDevice, vanished: (error: unknown) => void): () => void {
  let timer: NodeJS.Timeout | undefined;
  let stopped = false;
  const ask = () => device.getBaudRate();
  const next = () => {
    if (!stopped) timer = setTimeout(() => ask().then(next, vanished), ALIVE_EVERY_MS);
  };
  ask().then(next, (error: unknown) => {
    if (!NO_SPEED.test(messageOf(error))) vanished(error);
  });
  return () => {
    stopped = true;
    clearTimeout(timer);
  };
}

/** What a device says that is no longer there tells a person nothing. */
function lossInWords(message: string): string {
  return /bad file descriptor|EBADF|EIO|ENXIO|ENODEV|no such device/i.test(message) ? "unplugged?" : message;
}
