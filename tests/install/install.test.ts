/**
 * Installing into a clean root: twice, over an edited configuration, away again; the units as systemd judges them
 * (they live in `living.test.ts`); and the installed program as its own user in a chroot.
 */
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import {
  appendFileSync,
  copyFileSync,
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  realpathSync,
  rmSync,
  statSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { run } from "./run.ts";

const SYSTEMD = fileURLToPath(new URL("../../systemd", import.meta.url));
const UNITS = ["rodeward.service", "rodeward-alarm.service"].map((name) => join(SYSTEMD, name));

const folder = mkdtempSync(join(tmpdir(), "rodeward-install-"));
const root = join(folder, "root");
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const install = (...args: string[]) => run("bash", [join(SYSTEMD, "install.sh"), "--root", root, ...args]);

/** Every file with its mode, owner and content. */
function listing(): string[] {
  return readdirSync(root, { recursive: true, encoding: "utf8" })
    .filter((name) => !name.endsWith(".pwd.lock"))
    .sort()
    .map((name) => {
      const path = join(root, name);
      const at = lstatSync(path);
      const owned = `${name} ${at.mode.toString(8)} ${at.uid}:${at.gid}`;
      if (at.isSymbolicLink()) return `${owned} -> ${readlinkSync(path)}`;
      return at.isFile()
        ? `${owned} ${createHash("sha256").update(readFileSync(path)).digest("hex")}`
        : owned;
    });
}

const isRoot = process.getuid?.() === 0;

// Owners cannot be given without being root; then only the parts below that need none are tried.
describe.skipIf(!isRoot)("install.sh (as root)", () => {
  const config = join(root, "etc/rodeward/rodeward.toml");

  beforeAll(() => {
    const done = install();
    expect(`${done.code} ${done.err}`).toMatch(/^0 /);
    expect(done.out).toMatch(/configuration to be edited/);
  });

  test("puts the program, the units, the user and a configuration where they belong", () => {
    expect(statSync(join(root, "usr/bin/rodeward")).mode & 0o111).toBe(0o111);
    for (const name of ["rodeward.service", "rodeward-alarm.service"])
      expect(existsSync(join(root, "usr/lib/systemd/system", name))).toBe(true);
    const passwd = readFileSync(join(root, "etc/passwd"), "utf8");
    expect(passwd).toMatch(/^rodeward:.*:\/usr\/sbin\/nologin$/m);
    expect(readFileSync(join(root, "etc/group"), "utf8")).toMatch(/^dialout:.*rodeward$/m);
    expect(statSync(config).mode & 0o777).toBe(0o640);
    expect(statSync(join(root, "var/lib/rodeward")).mode & 0o777).toBe(0o750);
    expect(statSync(config).uid).toBe(0);
  });

  test("leaves out what it does not need to run", () => {
    const modules = join(root, "usr/lib/rodeward/node_modules");
    for (const name of ["vitest", "typescript", "@types", "@biomejs"])
      expect(existsSync(join(modules, name))).toBe(false);
    expect(existsSync(join(modules, "better-sqlite3/deps"))).toBe(false);
  });

  test("a second time changes nothing, and never an edited configuration", () => {
    appendFileSync(config, "# mine\n");
    const before = listing();
    const done = install();
    expect(done.code).toBe(0);
    expect(done.out).toMatch(/configuration left as it is/);
    expect(listing()).toEqual(before);
    expect(readFileSync(config, "utf8")).toMatch(/# mine\n$/);
  });

  test("the installed program runs as its own user, in a root with nothing else in it", () => {
    furnish(root);
    const asUser = (...words: string[]) =>
      run("chroot", ["--userspec=rodeward:rodeward", root, "/usr/bin/env", ...words]);
    expect(asUser("rodeward", "--version")).toMatchObject({ code: 0, out: "0.1.0\n" });
    const rode = asUser("rodeward", "rode", "--depth", "8m", "--wind", "18kn", "--roller", "1.1m");
    expect(rode.code).toBe(0);
    // The daemon itself, natives and all, ended by its time limit as a service manager ends it.
    const watch = spawnSync(
      "chroot",
      [
        "--userspec=rodeward:rodeward",
        root,
        "/usr/bin/env",
        "STATE_DIRECTORY=/var/lib/rodeward",
        "rodeward",
        "run",
      ],
      { encoding: "utf8", timeout: 8000, killSignal: "SIGTERM" },
    );
    expect(watch.stderr).toMatch(/state: \/var\/lib\/rodeward/);
    expect(watch.stderr).not.toMatch(/"level":[456]0/);
    expect(existsSync(join(root, "var/lib/rodeward/nights.sqlite"))).toBe(true);
  });

  test("taken away again: the program goes; configuration and nights stay; twice does no harm", () => {
    for (let i = 0; i < 2; i++) expect(install("--uninstall")).toMatchObject({ code: 0 });
    for (const gone of ["usr/lib/rodeward", "usr/bin/rodeward", "usr/lib/systemd/system/rodeward.service"])
      expect(existsSync(join(root, gone))).toBe(false);
    expect(existsSync(config)).toBe(true);
    expect(existsSync(join(root, "var/lib/rodeward"))).toBe(true);
  });
});

/** What a chroot needs to start a script by `#!/usr/bin/env node`: these two, their libraries, and /dev/null. */
function furnish(into: string): void {
  for (const program of ["/usr/bin/env", process.execPath]) {
    const place = program === process.execPath ? "/usr/bin/node" : program;
    put(program, join(into, place));
    for (const [library] of run("ldd", [program]).out.matchAll(/\/\S+/g)) put(library, join(into, library));
  }
  const [loader] = run("ldd", ["/usr/bin/env"]).out.match(/\/lib\S*ld-linux\S+/) ?? [];
  if (loader !== undefined) put(loader, join(into, loader));
  mkdirSync(join(into, "dev"), { recursive: true });
  mkdirSync(join(into, "tmp"), { recursive: true });
  for (const [name, minor] of [
    ["null", "3"],
    ["urandom", "9"],
  ] as const)
    run("mknod", ["-m", "666", join(into, "dev", name), "c", "1", minor]);
}

function put(from: string, to: string): void {
  mkdirSync(dirname(to), { recursive: true });
  if (!existsSync(to)) copyFileSync(realpathSync(from), to);
}

test("what is wrong with the call is said in a line, with exit code 2", () => {
  expect(run("bash", [join(SYSTEMD, "install.sh"), "--remove"])).toMatchObject({ code: 2, out: "" });
});

describe("the units", () => {
  test("are sound in systemd's eyes", () => {
    const { code, out, err } = run("systemd-analyze", ["verify", ...UNITS]);
    // It may miss the program itself, which is not installed on the machine that tests.
    expect(`${out}${err}`.trim()).toBe("");
    expect(code).toBe(0);
  });

  test.each(UNITS)("%s: exposure at most 2.0 (systemd-analyze security)", (unit) => {
    const { out } = run("systemd-analyze", ["security", "--offline=true", "--no-pager", unit]);
    const exposure = Number(/Overall exposure level for \S+: ([\d.]+)/.exec(out)?.[1]);
    expect(exposure).toBeLessThanOrEqual(2);
    expect(exposure).toBeGreaterThan(0);
  });

  test("never give up, watch the watch, and are heard when it dies", () => {
    const unit = readFileSync(UNITS[0] ?? "", "utf8");
    for (const line of [
      "Type=notify",
      "NotifyAccess=all",
      "Restart=always",
      "StartLimitIntervalSec=0",
      "WatchdogSec=30",
      "OnFailure=rodeward-alarm.service",
      "User=rodeward",
      "SupplementaryGroups=dialout",
      "StateDirectory=rodeward",
    ])
      expect(unit.split("\n")).toContain(line);
    expect(unit).toMatch(/^ExecStopPost=-.* hooks dead --config/m);
  });

  test("the example of a udev rule names nothing until it is edited", () => {
    const rules = readFileSync(join(SYSTEMD, "60-rodeward.rules"), "utf8");
    for (const line of rules.split("\n")) expect(line).toMatch(/^(#.*)?$/);
  });
});
