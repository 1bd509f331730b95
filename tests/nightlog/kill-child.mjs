/** The built daemon, to be killed: `node kill-child.mjs <state directory> <sentence port>`. It says each second. */
import { writeSync } from "node:fs";
import { readConfig } from "../../dist/config/read.js";
import { startDaemon } from "../../dist/daemon.js";

const [stateDirectory, port] = process.argv.slice(2);
const read = readConfig(`
[boat]
roller_height = "1.1 m"
roller_to_antenna = "6 m"
draught = "0.8 m"
[rode]
chain = "8 m"
rope = "60 m"
[[port]]
name = "rehearsal"
kind = "tcp-server"
listen = "127.0.0.1:${port}"
clock = "tag"
operator = true
[page]
listen = "127.0.0.1:0"
`);
if (!read.ok) throw new Error(read.problems.join("; "));
const quiet = () => {};
await startDaemon({
  config: read.config,
  stateDirectory,
  log: { debug: quiet, info: quiet, warn: quiet, error: (fields, text) => console.error(text, fields) },
  // Not buffered: what is said here has happened, however the process ends.
  watch: ({ core, seconds }) => {
    if (seconds.length > 0) writeSync(1, `${core.atMs} ${core.watch.stay.phase}\n`);
  },
});
