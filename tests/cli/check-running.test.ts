import { writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { join } from "node:path";
import { expect, test } from "vitest";
import { folder, rodeward } from "./shell.ts";

test("check says that a watch is running, whose ports are not free", async () => {
  const here = folder();
  writeFileSync(
    join(here, "my.toml"),
    `[rode]\nchain = "8 m"\nrope = "60 m"\n[log]\ndirectory = "${here}"\n`,
  );
  const checked = async () =>
    (await rodeward(here, ["check", "--config", "my.toml", "--seconds", "0.1"])).err;
  expect(await checked()).not.toContain("the watch is running");
  // Stands for the daemon's socket for acts.
  const daemon = createServer((socket) => socket.on("error", () => {}));
  await new Promise<void>((done) => daemon.listen(join(here, "act.sock"), done));
  expect(await checked()).toContain("the watch is running and holds ports");
  await new Promise((done) => daemon.close(done));
});
