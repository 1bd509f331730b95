/** A page whose sound is armed counts as one that would be heard; one that only looks does not. */
import { afterEach, expect, test } from "vitest";
import { WebSocket } from "ws";
import { until } from "../ports/ear.ts";
import { type Boat, putToSea } from "./boat.ts";

let boat: Boat | undefined;
afterEach(async () => {
  await boat?.stop();
  boat = undefined;
});

test("unheard while nobody listens; not while a page is armed; again when it goes", async () => {
  boat = await putToSea("");
  const { daemon } = boat;
  const isUnheard = () => daemon.core().watch.facts.unheard !== undefined;
  await until(isUnheard, "nobody would hear");
  const url = daemon.pageUrl ?? "";
  const page = new WebSocket(`${url.replace("http", "ws")}/ws`, { origin: url });
  await new Promise((resolve) => page.once("open", resolve));
  await new Promise((resolve) => setTimeout(resolve, 500));
  expect(isUnheard()).toBe(true);
  page.send("armed");
  await until(() => !isUnheard(), "the armed page would hear");
  page.send("quiet");
  await until(isUnheard, "nobody would hear");
  page.send("armed");
  await until(() => !isUnheard(), "the armed page would hear");
  page.terminate();
  await until(isUnheard, "nobody would hear");
});
