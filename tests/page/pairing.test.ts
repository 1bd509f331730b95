import { chmodSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { openPairing, SESSION_MS } from "../../src/page/pairing.ts";
import { createFolder, type Folder, silentLog } from "./stage.ts";

let folder: Folder;
let path: string;
let atMs: number;
const nowMs = () => atMs;

beforeEach(() => {
  folder = createFolder();
  path = join(folder.path, "state", "page-keys.json");
  atMs = 1_000_000;
});
afterEach(() => folder.remove());

async function firstStart() {
  const pairing = await openPairing(path, nowMs, silentLog);
  await pairing.keep();
  const pin = pairing.firstPin ?? "";
  const answer = await pairing.pair(pin, "a");
  return { pairing, pin, token: answer.kind === "paired" ? answer.token : "" };
}

describe("pairing", () => {
  test("the first start makes a PIN of six digits, the next does not", async () => {
    const { pin } = await firstStart();
    expect(pin).toMatch(/^\d{6}$/);
    expect((await openPairing(path, nowMs, silentLog)).firstPin).toBeUndefined();
  });

  test("nothing is on disk before it is kept: a start that failed leaves no PIN that nobody saw", async () => {
    await openPairing(path, nowMs, silentLog);
    expect((await openPairing(path, nowMs, silentLog)).firstPin).toBeDefined();
  });

  test("a restart keeps phones paired, for 90 days", async () => {
    const { token } = await firstStart();
    const again = await openPairing(path, nowMs, silentLog);
    expect(again.isPaired(token)).toBe(true);
    expect(again.isPaired(`${token}x`)).toBe(false);
    expect(again.isPaired("")).toBe(false);
    expect(again.isPaired(undefined)).toBe(false);
    atMs += 90 * 86_400_000 - 1;
    expect(again.isPaired(token)).toBe(true);
    atMs += 1;
    expect(again.isPaired(token)).toBe(false);
    expect(SESSION_MS).toBe(90 * 86_400_000);
  });

  test("what has run out does not stay in the file", async () => {
    const { pairing, pin } = await firstStart();
    await pairing.pair(pin, "a");
    expect(JSON.parse(readFileSync(path, "utf8")).sessions).toHaveLength(2);
    atMs += SESSION_MS;
    await pairing.pair(pin, "a");
    expect(JSON.parse(readFileSync(path, "utf8")).sessions).toHaveLength(1);
  });

  test("the file is for its owner alone, and holds neither PIN nor token", async () => {
    const { pin, token } = await firstStart();
    expect(statSync(path).mode & 0o777).toBe(0o600);
    const text = readFileSync(path, "utf8");
    expect(text).not.toContain(token);
    // Six digits could stand in the expiry by chance: look at the PIN's own part.
    expect(JSON.stringify(JSON.parse(text).pin)).not.toContain(pin);
    expect(readdirSync(dirname(path))).toEqual(["page-keys.json"]);
  });

  test("a leftover of a power cut does not lend its open mode", async () => {
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(`${path}.new`, "half");
    chmodSync(`${path}.new`, 0o666);
    await firstStart();
    expect(statSync(path).mode & 0o777).toBe(0o600);
  });

  test("a damaged file gives a new PIN, and unpairs", async () => {
    const { token } = await firstStart();
    for (const text of ["", '{"version":1}']) {
      writeFileSync(path, text);
      const again = await openPairing(path, nowMs, silentLog);
      expect(again.firstPin).toMatch(/^\d{6}$/);
      expect(again.isPaired(token)).toBe(false);
    }
  });

  test("a hundred wrong tries at once do not all pass", async () => {
    const { pairing, pin } = await firstStart();
    const wrong = pin === "000000" ? "000001" : "000000";
    const kinds = await Promise.all(
      Array.from({ length: 100 }, async () => (await pairing.pair(wrong, "b")).kind),
    );
    expect(kinds.filter((kind) => kind === "wrong")).toHaveLength(5);
    expect(kinds.filter((kind) => kind === "wait")).toHaveLength(95);
    expect((await pairing.pair(pin, "b")).kind).toBe("wait");
  });

  test("a card that cannot be written ends nothing: it holds until the next start", async () => {
    const warned: string[] = [];
    const pairing = await openPairing(join(folder.path, "pins", "k.json"), nowMs, {
      ...silentLog,
      warn: (_, text) => warned.push(text),
    });
    mkdirSync(join(folder.path, "pins", "k.json.new", "in-the-way"), { recursive: true });
    await pairing.keep();
    const answer = await pairing.pair(pairing.firstPin ?? "", "a");
    expect(answer.kind).toBe("paired");
    expect(pairing.isPaired(answer.kind === "paired" ? answer.token : "")).toBe(true);
    expect(warned[0]).toContain("cannot be written");
  });
});
