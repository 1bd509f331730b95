// In a network of its own, which its parent gives it: a server port of ours, a display on it, then the network goes.
import { execFileSync } from "node:child_process";
import { connect } from "node:net";
import { openPort } from "../../dist/ports/kinds.js";

const log = { info() {}, debug() {}, warn: (fields, text) => said.push(`${text}: ${fields.why}`) };
const said = [];
const common = { talker: "II", send: ["alerts"], leaveOut: [], backup: false };
const deps = { log, random: Math.random };
const server = await openPort(
  { ...common, name: "displays", kind: "tcp-server", host: "127.0.0.1", port: 0 },
  { line() {}, state() {} },
  deps,
);
const port = Number(server.stats().address.split(":").at(-1));
const display = connect({ host: "127.0.0.1", port }, () => {
  execFileSync("ip", ["link", "set", "lo", "down"]);
  const begunMs = performance.now();
  const timer = setInterval(() => {
    server.send("$IIHBT,30,A,0*00", false);
    const tookS = (performance.now() - begunMs) / 1000;
    if (server.stats().clients > 0 && tookS < 60) return;
    clearInterval(timer);
    process.stdout.write(JSON.stringify({ clients: server.stats().clients, tookS, said }));
    process.exit();
  }, 500);
});
display.on("error", () => {});
