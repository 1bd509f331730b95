/** Whom the watch believes: what an untrusted port says, under whatever name; who may open its socket and files. */
import { statSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { seal, tagBlock } from "../../src/nmea/seal.ts";
import {
  type Afloat,
  acn,
  alfsOf,
  BUS,
  boatConfig,
  connectTo,
  createFolder,
  DISPLAYS,
  type Folder,
  type Peer,
  recorderOn,
  start,
} from "../aboard/afloat.ts";
import { until } from "../ports/ear.ts";

const STRANGERS = `
[[port]]
name = "strangers"
kind = "tcp-server"
listen = "127.0.0.1:0"
acknowledge = false
`;

let folder: Folder;
let afloat: Afloat;
let bus: Peer;
let stranger: Peer;
let display: Peer;
let recorder: ReturnType<typeof recorderOn>;

beforeEach(async () => {
  folder = createFolder();
  afloat = await start(boatConfig(BUS + DISPLAYS + STRANGERS), join(folder.path, "state"));
  bus = await connectTo(afloat.daemon.address("bus"));
  stranger = await connectTo(afloat.daemon.address("strangers"));
  display = await connectTo(afloat.daemon.address("displays"));
  recorder = recorderOn(bus, Date.UTC(2026, 5, 15, 22, 0, 0));
  await recorder.seconds(5, {});
  await recorder.second({}, "PRDW,LETGO", "PRDW,RODE,30,M", "PRDW,BROUGHTUP");
  await until(() => phase() === "riding", "the watch");
});
afterEach(async () => {
  for (const peer of [bus, stranger, display]) peer.close();
  await afloat.daemon.stop();
  folder.remove();
});

const phase = () => afloat.daemon.core().watch.stay.phase;
const outside = () => afloat.daemon.core().alerts.active["outside-circle"];

describe("a port that is not trusted", () => {
  test("gives no act, no fact and no setting, not even under the name of one that may", async () => {
    const names = ["bus", "page", "edge", "shell", "log"];
    const bodies = [
      "PRDW,AWEIGH",
      "PRDW,SLIP",
      "PRDW,WEIGH",
      "PRDW,SET,watch.margin,500 m",
      "PRDW,FACT,port-down,1,x",
    ];
    const before = JSON.stringify(afloat.daemon.core().watch.stay);
    for (const body of bodies) {
      await stranger.say(seal(body));
      for (const name of names) await stranger.say(`${tagBlock(recorder.atMs, name)}${seal(body)}`);
    }
    await recorder.seconds(3, {});
    await until(
      () => display.lines.filter((one) => /PRDW,NAK,AWEIGH,port/.test(one)).length >= 1,
      "the refusal",
    );
    expect(phase()).toBe("riding");
    expect(JSON.parse(JSON.stringify(afloat.daemon.core().watch.stay))).toMatchObject({
      phase: JSON.parse(before).phase,
    });
    expect(afloat.daemon.core().alerts.active["port-down"]).toBeUndefined();
  });

  test("acknowledges and silences nothing; the trusted one does", async () => {
    for (let eastM = 0; eastM < 150; eastM += 3) await recorder.second({ eastM });
    await recorder.seconds(45, { eastM: 150 });
    await until(() => outside()?.status === "unacknowledged", "the alarm", 10_000);
    const ack = seal("IIACK,802");
    for (const command of ["A", "S"] as const) {
      await stranger.say(acn(10802, command), `${tagBlock(recorder.atMs, "bus")}${acn(10802, command)}`, ack);
    }
    await recorder.seconds(3, { eastM: 150 });
    await until(() => afloat.daemon.core().atMs >= recorder.atMs - 1500, "three seconds");
    expect(outside()?.status).toBe("unacknowledged");
    expect(alfsOf(display, 10802).length).toBeGreaterThan(0);
    await bus.say(`${tagBlock(recorder.atMs, "bus")}${acn(10802, "A")}`);
    await until(() => outside()?.status === "acknowledged", "the acknowledgement");
  });
});

test("the socket for acts and all that is kept is for the owner and, at most, the group", () => {
  const state = join(folder.path, "state");
  const mode = (name: string) => statSync(join(state, name)).mode & 0o777;
  expect(mode("")).toBe(0o750);
  expect(mode("act.sock")).toBe(0o660);
  expect(mode("pin.json")).toBe(0o600);
});
