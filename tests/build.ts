import { execFileSync } from "node:child_process";

/** Builds the program once: some tests run it as a stranger would. */
export default function setup(): void {
  execFileSync("npm", ["run", "--silent", "build"], { stdio: "inherit" });
}
