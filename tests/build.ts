import { spawnSync } from "node:child_process";

/** Builds the program: some tests run it as a stranger would. `verify` has built it already and says so. */
export default function setup(): void {
  if (process.env.RODEWARD_BUILT === "1") return;
  const built = spawnSync("npm", ["run", "--silent", "build"], { stdio: "inherit" });
  if (built.status !== 0) console.warn("the build has errors: the program under test may be an older one");
}
