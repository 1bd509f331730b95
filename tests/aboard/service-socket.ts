/** Stands in for systemd's end of `NOTIFY_SOCKET`: Node has no datagram Unix sockets, so Python listens. */
import { spawn } from "node:child_process";
import { join } from "node:path";
import { until } from "../ports/ear.ts";

const LISTENER = `
import socket, sys
s = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
s.bind(sys.argv[1])
print("bound", flush=True)
while True:
    for line in s.recv(4096).decode().splitlines():
        print(line, flush=True)
`;

export interface ServiceSocket {
  path: string;
  /** What was told, with the moment it was heard. */
  told: { atMs: number; text: string }[];
  texts(): string[];
  close(): void;
}

export async function listenAsManager(folder: string): Promise<ServiceSocket> {
  const path = join(folder, "notify");
  const python = spawn("/usr/bin/python3", ["-c", LISTENER, path], { stdio: ["ignore", "pipe", "inherit"] });
  const told: ServiceSocket["told"] = [];
  let isBound = false;
  let rest = "";
  python.stdout.on("data", (chunk) => {
    const pieces = (rest + chunk).split("\n");
    rest = pieces.pop() ?? "";
    for (const text of pieces)
      if (text === "bound") isBound = true;
      else if (text !== "BARRIER=1") told.push({ atMs: performance.now(), text });
  });
  await until(() => isBound, "the socket", 5000);
  return { path, told, texts: () => told.map(({ text }) => text), close: () => void python.kill() };
}
