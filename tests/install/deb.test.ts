/** The Debian package: made, looked into as dpkg sees it, unpacked, and what is in it run. */
import { copyFileSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { run } from "./run.ts";

const DEB_SH = fileURLToPath(new URL("../../systemd/deb.sh", import.meta.url));
const FIXTURES = fileURLToPath(new URL("../../fixtures/nightlog", import.meta.url));

const folder = mkdtempSync(join(tmpdir(), "rodeward-deb-"));
const root = join(folder, "root");
const control = join(folder, "control");
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("the Debian package", { timeout: 300_000 }, () => {
  let file = "";

  beforeAll(() => {
    const made = run("bash", [DEB_SH, folder], folder, 240_000);
    expect(`${made.code} ${made.err}`).toBe("0 ");
    file = made.out.trim();
    expect(run("dpkg-deb", ["--extract", file, root]).code).toBe(0);
    expect(run("dpkg-deb", ["--control", file, control]).code).toBe(0);
  }, 300_000);

  test("is of this machine's kind, and asks for the Node that its natives were made for", () => {
    const fields = Object.fromEntries(
      run("dpkg-deb", ["--field", file])
        .out.split("\n")
        .flatMap((line) => (/^\S+: /.test(line) ? [line.split(/: (.*)/).slice(0, 2)] : [])),
    );
    const node = Number(process.versions.node.split(".")[0]);
    expect(fields.Architecture).toBe(run("dpkg", ["--print-architecture"]).out.trim());
    expect(fields.Depends).toContain(`nodejs (>= ${node}), nodejs (<< ${node + 1}~)`);
    expect(fields.Depends).toMatch(/libc6 \(>= 2\.\d+\)/);
    expect(fields.Version).toMatch(/^\d+\.\d+\.\d+$/);
  });

  test("holds the program and the units, all of root's, and no configuration that an upgrade could overwrite", () => {
    const lines = run("dpkg-deb", ["--contents", file]).out.trim().split("\n");
    for (const line of lines) expect(line).toMatch(/^\S+ root\/root /);
    const names = lines.map((line) =>
      line
        .replace(/ -> .*/, "")
        .split(" ")
        .at(-1),
    );
    for (const name of ["usr/bin/rodeward", "usr/lib/systemd/system/rodeward.service"])
      expect(names).toContain(`./${name}`);
    expect(names.filter((name) => name?.startsWith("./etc") || name?.startsWith("./var"))).toEqual([]);
    expect(statSync(join(root, "usr/share/doc/rodeward/copyright")).size).toBeGreaterThan(500);
  });

  test("has the sums of all its files right", () => {
    const sums = run("md5sum", ["--check", "--quiet", join(control, "md5sums")], root);
    expect(`${sums.code} ${sums.out}`).toBe("0 ");
    const counted = readFileSync(join(control, "md5sums"), "utf8").trim().split("\n").length;
    const files = readdirSync(join(root, "usr"), { recursive: true, withFileTypes: true });
    expect(files.filter((entry) => entry.isFile())).toHaveLength(counted);
  });

  test("has scripts that a plain shell can read, which start nothing while a machine is being built", () => {
    for (const name of ["postinst", "prerm", "postrm"]) {
      const script = join(control, name);
      expect(run("sh", ["-n", script])).toMatchObject({ code: 0, err: "" });
      expect(statSync(script).mode & 0o111).toBe(0o111);
      for (const [call] of readFileSync(script, "utf8").matchAll(/^.*systemctl .*$/gm))
        expect(call).toMatch(/^ {2}/); // within: if [ -d /run/systemd/system ]
    }
    const config = /if \[ ! -e \/etc\/rodeward\/rodeward\.toml \]/;
    expect(readFileSync(join(control, "postinst"), "utf8")).toMatch(config);
  });

  test("runs from where it was unpacked, natives and all", () => {
    const program = join(root, "usr/bin/rodeward");
    expect(run(program, ["--version"])).toMatchObject({ code: 0, out: "0.1.0\n" });
    expect(existsSync(join(root, "usr/lib/rodeward/config/rodeward.toml"))).toBe(true);
    const log = join(folder, "nights.sqlite");
    copyFileSync(join(FIXTURES, "v2.sqlite"), log);
    const nights = run(program, ["nights", "list", "--directory", folder]);
    expect(nights).toMatchObject({ code: 0, err: "" });
    expect(nights.out).toMatch(/^1 +2026-06-14 20:00/m);
  });
});
