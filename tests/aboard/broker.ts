/** A real MQTT broker (Debian package mosquitto) on loopback, with a port and a folder of its own. */
import { type ChildProcess, spawn } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { until } from "../ports/ear.ts";
import { freePort } from "./boat.ts";

const PROGRAM = "/usr/sbin/mosquitto";

/** True only where it is missing and this is no CI run; there, a missing broker fails the tests. */
export const noBroker = !existsSync(PROGRAM) && !process.env.CI;
if (noBroker)
  console.warn("mosquitto is not installed (Debian package mosquitto): the MQTT tests are skipped");

export interface Broker {
  url: string;
  /** Ends at once, as by a power cut. */
  kill(): Promise<void>;
  start(): Promise<void>;
  remove(): Promise<void>;
}

export async function openBroker(): Promise<Broker> {
  const port = await freePort();
  const folder = mkdtempSync(join(tmpdir(), "rodeward-broker-"));
  const file = join(folder, "broker.conf");
  writeFileSync(file, `listener ${port} 127.0.0.1\nallow_anonymous true\npersistence false\n`);
  let child: ChildProcess | undefined;
  const broker: Broker = {
    url: `mqtt://127.0.0.1:${port}`,
    async start() {
      child = spawn(PROGRAM, ["-c", file], { stdio: "ignore" });
      let isUp = false;
      const probe = (): void => {
        const socket = connect(port, "127.0.0.1", () => {
          isUp = true;
          socket.destroy();
        });
        socket.on("error", () => setTimeout(probe, 20));
      };
      probe();
      await until(() => isUp, "the broker");
    },
    async kill() {
      const gone = child;
      child = undefined;
      if (gone === undefined) return;
      const ended = new Promise((resolve) => gone.once("exit", resolve));
      gone.kill("SIGKILL");
      await ended;
    },
    async remove() {
      await broker.kill();
      rmSync(folder, { recursive: true, force: true });
    },
  };
  await broker.start();
  return broker;
}
