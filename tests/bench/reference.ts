/**
 * What this machine needs for the same journey with nothing in between: a bare Node process that answers one kind
 * of line on a second connection. Whatever else the machine is doing slows both alike.
 */
import { type ChildProcess, spawn } from "node:child_process";
import { connect, type Socket } from "node:net";

/** Splits lines, looks at each, and writes one sentence for each that is marked. */
const PROGRAM = `
const net = require("node:net");
let display;
const displays = net.createServer({ noDelay: true }, (socket) => { display = socket.on("error", () => {}); });
const bus = net.createServer({ noDelay: true }, (socket) => {
  let rest = "";
  socket.setEncoding("latin1").on("error", () => {}).on("data", (text) => {
    const lines = (rest + text).split("\\r\\n");
    rest = lines.pop();
    for (const line of lines) if (line.includes("ECHO,")) display.write(line + "\\r\\n");
  });
});
displays.listen(0, "127.0.0.1", () => bus.listen(0, "127.0.0.1", () =>
  process.stdout.write(displays.address().port + " " + bus.address().port + "\\n")));
`;

export interface Reference {
  /** Writes this to the bus of it; resolves with the ms until the marked line in it came back. */
  journey(mark: string, text: string): Promise<number>;
  /** Writes what is not answered. */
  say(text: string): void;
  stop(): void;
}

export async function startReference(): Promise<Reference> {
  const child: ChildProcess = spawn(process.execPath, ["-e", PROGRAM], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const [displayPort = 0, busPort = 0] = await new Promise<number[]>((resolve) =>
    child.stdout?.once("data", (text) => resolve(String(text).trim().split(" ").map(Number))),
  );
  const display = await joined(displayPort);
  const bus = await joined(busPort);
  let waiting: { mark: string; heard: (atMs: number) => void } | undefined;
  display.setEncoding("latin1").on("data", (text: string) => {
    if (waiting === undefined || !text.includes(waiting.mark)) return;
    const { heard } = waiting;
    waiting = undefined;
    heard(performance.now());
  });
  return {
    async journey(mark, text) {
      const heard = new Promise<number>((resolve) => {
        waiting = { mark, heard: resolve };
      });
      const sentMs = performance.now();
      bus.write(text);
      return (await heard) - sentMs;
    },
    say: (text) => void bus.write(text),
    stop() {
      for (const socket of [display, bus]) socket.destroy();
      child.kill("SIGTERM");
    },
  };
}

function joined(port: number): Promise<Socket> {
  return new Promise((resolve, reject) => {
    const socket = connect({ host: "127.0.0.1", port, noDelay: true }, () => resolve(socket));
    socket.on("error", reject);
  });
}
