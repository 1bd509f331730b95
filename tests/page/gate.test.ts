import { describe, expect, test } from "vitest";
import { hostIsOurs, hostNames, originIsOurs } from "../../src/page/gate.ts";

const names = hostNames("Plover.lan", ["boat.example"]);

describe("host", () => {
  test.each([
    "localhost",
    "localhost:8010",
    "LOCALHOST:8010",
    "127.0.0.1:8010",
    "192.168.1.20",
    "[::1]:8010",
    "[fe80::1]",
    "plover.local:8010",
    "plover.local.",
    "plover",
    "plover.lan:8010",
    "boat.example",
  ])("%s is ours", (host) => expect(hostIsOurs(host, names)).toBe(true));

  test.each([
    undefined,
    "",
    "evil.example",
    "localhost.evil.example",
    "127.0.0.1.evil.example",
    "evil-plover.local",
    "localhost:8010@evil.example",
    "127.0.0.1:80:80",
    "[localhost]",
    "::1",
    "999.0.0.1",
    "localhost; script-src *",
    "localhost/",
  ])("%s is not", (host) => expect(hostIsOurs(host, names)).toBe(false));
});

describe("origin", () => {
  test.each([
    ["http://127.0.0.1:8010", "127.0.0.1:8010"],
    ["http://plover.local", "plover.local"],
    ["http://plover.local", "plover.local:80"],
    ["https://boat.example", "boat.example"],
    ["http://[::1]:8010", "[::1]:8010"],
  ])("%s may act on %s", (origin, host) => expect(originIsOurs(origin, host)).toBe(true));

  test.each([
    [undefined, "127.0.0.1:8010"],
    ["null", "127.0.0.1:8010"],
    ["", "127.0.0.1:8010"],
    ["http://evil.example", "127.0.0.1:8010"],
    ["http://127.0.0.1:8011", "127.0.0.1:8010"],
    ["http://127.0.0.1", "127.0.0.1:8010"],
    ["http://127.0.0.1:8010/path", "127.0.0.1:8010"],
    ["http://x@127.0.0.1:8010", "127.0.0.1:8010"],
    ["file://127.0.0.1:8010", "127.0.0.1:8010"],
    ["http://127.0.0.1:8010", undefined],
  ])("%s may not act on %s", (origin, host) => expect(originIsOurs(origin, host)).toBe(false));
});
