import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, onTestFinished, test } from "vitest";
import { listPorts } from "../../src/cli/ports.ts";
import { listSerial } from "../../src/ports/serial-list.ts";

const lines: string[] = [];
const console = { out: (text: string) => void lines.push(text), err: () => {} };

test("devices by the name to configure, what keeps one from being used, and services as the network tells them", async () => {
  const device = { maker: undefined, isStable: true, allowed: true, group: "dialout" };
  await listPorts(1, console, {
    serial: () =>
      Promise.resolve([
        { ...device, name: "/dev/serial/by-id/usb-one", device: "/dev/ttyUSB0", maker: "FTDI" },
        { ...device, name: "/dev/ttyS0", device: "/dev/ttyS0", isStable: false, allowed: false },
      ]),
    services: () =>
      Promise.resolve([
        { name: "plotter\x1b[2J", host: "p.local", port: 10110, addresses: ["192.0.2.7"] },
        { name: "six", host: "s.local", port: 2000, addresses: ["fe80::1"] },
        { name: "mute", host: undefined, port: undefined, addresses: [] },
      ]),
  });
  expect(lines).toEqual([
    "serial device              now at",
    "/dev/serial/by-id/usb-one  /dev/ttyUSB0  FTDI",
    "/dev/ttyS0                               this name may change from start to start; permission denied: add the user to the group dialout",
    "",
    "service      address",
    'plotter?[2J  192.0.2.7:10110  kind = "tcp-client"',
    'six          [fe80::1]:2000   kind = "tcp-client"',
    "mute                          it did not say where",
  ]);
});

test("stable names are looked up where the system keeps them; a device known to only one of the two is listed too", async () => {
  const folder = mkdtempSync(join(tmpdir(), "rodeward-serial-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const byId = join(folder, "by-id");
  mkdirSync(byId);
  for (const name of ["ttyUSB0", "ttyUSB1"]) writeFileSync(join(folder, name), "");
  symlinkSync("../ttyUSB0", join(byId, "usb-one-port0"));
  symlinkSync("../ttyUSB1", join(byId, "usb-two-port0"));
  const list = () =>
    Promise.resolve([{ path: join(folder, "ttyUSB0"), manufacturer: "FTDI" }, { path: "/dev/null" }]);
  const found = await listSerial(list, byId);
  expect(found.map(({ name, device, isStable, maker }) => [name, device, isStable, maker])).toEqual([
    ["/dev/null", "/dev/null", false, undefined],
    [join(byId, "usb-one-port0"), join(folder, "ttyUSB0"), true, "FTDI"],
    [join(byId, "usb-two-port0"), join(folder, "ttyUSB1"), true, undefined],
  ]);
  // Nothing there, and a library that fails: nothing found, no throw.
  expect(await listSerial(() => Promise.reject(new Error("no udev")), "/nowhere")).toEqual([]);
});
