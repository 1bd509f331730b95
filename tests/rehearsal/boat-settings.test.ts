import { parse } from "smol-toml";
import { expect, test } from "vitest";
import { settingOf } from "../../src/rehearsal/anchorage.ts";
import { rehearsalConfig } from "../../src/rehearsal/boat-settings.ts";
import { chanceOf } from "../../src/rehearsal/chance.ts";
import { SOURCE } from "../../src/rehearsal/sentences.ts";
import { readQuantity } from "../../src/units/quantity.ts";

interface Settings {
  boat: Record<string, string>;
  transducer: Record<string, string>;
  rode: Record<string, string>;
  port: Record<string, unknown>[];
  page: { listen: string };
}

const settings = parse(
  rehearsalConfig({ sentencePort: 20110, displayPort: 20111, pagePort: 20112 }),
) as unknown as Settings;

function metres(text: string | undefined): number {
  const read = readQuantity(text ?? "", "length");
  return read.ok ? read.value : Number.NaN;
}

test("the ports are those asked for, on the loopback address only", () => {
  const [sentences, displays] = settings.port;
  expect(sentences).toMatchObject({
    name: SOURCE,
    listen: "127.0.0.1:20110",
    clock: "tag",
    operator: true,
    acknowledge: true,
  });
  expect(displays).toMatchObject({ listen: "127.0.0.1:20111" });
  expect(settings.page.listen).toBe("127.0.0.1:20112");
});

test("the settings describe the boat that is simulated", () => {
  const { hull, rode } = settingOf(chanceOf(1));
  expect(metres(settings.boat.length)).toBe(hull.lengthM);
  expect(metres(settings.boat.draught)).toBe(hull.draughtM);
  expect(metres(settings.boat.roller_height)).toBe(hull.rollerHeightM);
  expect(metres(settings.boat.roller_to_antenna)).toBe(hull.antennaAbaftM);
  expect(metres(settings.transducer.below_water)).toBe(hull.transducerM);
  expect(metres(settings.rode.chain)).toBe(rode.chainM);
  expect(metres(settings.rode.rope)).toBe(rode.ropeM);
});
