import { describe, expect, test } from "vitest";
import { seal } from "../../src/nmea/seal.ts";
import { ALL_VERBS, type OwnContent } from "../../src/nmea/sentences/own.ts";
import { decode, encode } from "../../src/nmea/table.ts";
import { M_PER_FATHOM, M_PER_FT } from "../../src/units/length.ts";
import { sentenceIn } from "./sentence-in.ts";

function said(body: string): OwnContent {
  const sentence = sentenceIn(seal(`PRDW,${body}`));
  if (sentence.id !== "PRDW" || sentence.content === undefined) throw new Error(`${body} is not ours`);
  return sentence.content;
}

/** The same, with every number within half a tenth. */
function nearly(value: unknown): unknown {
  if (typeof value === "number") return expect.closeTo(value, 1);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, nearly(inner)]));
}

const about = (value: number) => expect.closeTo(value, 9);
const FIX = "5045.6310,N,00118.2090,W";
const HERE = { latDeg: about(50 + 45.631 / 60), lonDeg: about(-(1 + 18.209 / 60)), decimals: 4 };
const KNOT = 1852 / 3600;

describe("each verb in its written forms is an order", () => {
  const forms: readonly (readonly [body: string, values: Readonly<Record<string, unknown>>])[] = [
    ["LETGO", { position: undefined }],
    [`LETGO,${FIX}`, { position: HERE }],
    ["RODE,35.0,M", { lengthM: 35 }],
    ["RODE,100,f", { lengthM: about(100 * M_PER_FT) }],
    ["RODE,20,F", { lengthM: about(20 * M_PER_FATHOM) }],
    ["BROUGHTUP", {}],
    [`PLACE,${FIX}`, { at: { position: HERE, aim: undefined } }],
    ["PLACE,065.0,T,14.0,M", { at: { position: undefined, aim: { bearingDeg: 65, rangeM: 14 } } }],
    ["UNDO", {}],
    ["WEIGH", { ball: undefined }],
    ["WEIGH,BALL", { ball: "ball" }],
    ["AWEIGH", {}],
    ["SLIP", {}],
    ["RISE,1.2,M", { riseM: 1.2 }],
    ["RISE,4,f", { riseM: about(4 * M_PER_FT) }],
    ["SPLICE", {}],
    ["BOTTOM", {}],
    ["KEEPOFF,120.0,T,60.0,M,ROCK", { aim: { bearingDeg: 120, rangeM: 60 }, name: "ROCK" }],
    ["KEEPOFF,120,T,60,M,BIG^2C BLUE", { aim: { bearingDeg: 120, rangeM: 60 }, name: "BIG, BLUE" }],
    ["KEEPOFF,120,T,60,M", { aim: { bearingDeg: 120, rangeM: 60 }, name: undefined }],
    ["EXPECT,25.0,N", { speedMps: about(25 * KNOT) }],
    ["EXPECT,12,M", { speedMps: 12 }],
    ["NEUTRAL", {}],
    [`LIE,${FIX}`, { position: HERE }],
    ["WIND,15.0,N", { speedMps: about(15 * KNOT), fromDeg: undefined }],
    ["WIND,15.0,N,225", { speedMps: about(15 * KNOT), fromDeg: 225 }],
    ["WIND,7,M,", { speedMps: 7, fromDeg: undefined }],
    ["SET,watch.margin,20 m", { key: "watch.margin", value: "20 m" }],
    ["FACT,port-down,1,bus", { key: "port-down", on: "on", text: "bus" }],
    ["FACT,port-down,0", { key: "port-down", on: "off", text: undefined }],
    ["ACK,RODE", { answered: "RODE" }],
    ["NAK,RODE,phase", { answered: "RODE", reason: "phase" }],
  ];

  test("the forms cover the verbs", () => {
    expect(new Set(forms.map(([body]) => body.split(",")[0]))).toEqual(new Set(ALL_VERBS));
  });

  test.each(forms)("%s", (body, values) => {
    const verb = body.split(",")[0];
    expect(said(body)).toEqual({ order: { verb, ...values }, problem: undefined });
  });

  test.each(forms)("%s is written so that it says the same again", (body) => {
    const sentence = sentenceIn(seal(`PRDW,${body}`));
    const again = sentenceIn(encode(sentence));
    if (sentence.id !== "PRDW" || again.id !== "PRDW") throw new Error("not ours");
    // Feet and fathoms come back in metres, m/s in knots, each to a tenth.
    expect(again.content).toEqual(nearly(sentence.content));
  });
});

test("an answer that comes back to us never reads as the act that it answers", () => {
  for (const verb of ALL_VERBS) {
    expect(said(`ACK,${verb}`).order?.verb).toBe("ACK");
    expect(said(`NAK,${verb},phase`).order?.verb).toBe("NAK");
  }
  const content: OwnContent = { order: { verb: "ACK", answered: "AWEIGH" }, problem: undefined };
  expect(encode({ id: "PRDW", talker: "P", content })).toBe(seal("PRDW,ACK,AWEIGH"));
});

describe("anything else is of problem format", () => {
  test.each([
    ["", ""],
    ["ANCHOR", "ANCHOR"],
    ["letgo", ""],
    ["LETGO ", "LETGO"],
    ["constructor", ""],
    ["HASOWNPROPERTY,1", "HASOWNPROP"],
    // Half a position, or one that does not exist.
    ["LETGO,5045.6310,N", "LETGO"],
    ["LETGO,9945.6310,N,00118.2090,W", "LETGO"],
    ["LETGO,5045.6310,N,00118.2090", "LETGO"],
    ["LETGO,here", "LETGO"],
    ["LETGO,,N,,W", "LETGO"],
    ["LIE", "LIE"],
    ["LIE,,,,", "LIE"],
    ["PLACE", "PLACE"],
    ["PLACE,065.0,T,14.0", "PLACE"],
    ["PLACE,065.0,T,14.0,f", "PLACE"],
    ["PLACE,065.0,T,,M", "PLACE"],
    ["PLACE,065.0,M,14.0,M", "PLACE"],
    ["PLACE,400.0,T,14.0,M", "PLACE"],
    ["PLACE,065.0,T,-14.0,M", "PLACE"],
    // A length or speed without its unit, or in another one.
    ["RODE", "RODE"],
    ["RODE,", "RODE"],
    ["RODE,35", "RODE"],
    ["RODE,35,", "RODE"],
    ["RODE,35,m", "RODE"],
    ["RODE,35,K", "RODE"],
    ["RODE,35,constructor", "RODE"],
    ["RODE,,M", "RODE"],
    ["RODE,35m,M", "RODE"],
    ["RISE,1.2", "RISE"],
    ["EXPECT,25", "EXPECT"],
    ["EXPECT,25,K", "EXPECT"],
    ["EXPECT,-25,N", "EXPECT"],
    ["WIND,15,N,SW", "WIND"],
    ["WIND,15,N,361", "WIND"],
    ["WIND,,,225", "WIND"],
    ["WIND,15,S,225", "WIND"],
    ["KEEPOFF,120,T,60,,ROCK", "KEEPOFF"],
    ["KEEPOFF,,T,60,M,ROCK", "KEEPOFF"],
    ["KEEPOFF,ROCK", "KEEPOFF"],
    ["WEIGH,ANCHOR", "WEIGH"],
    ["SET,watch.margin", "SET"],
    ["SET,,20 m", "SET"],
    ["FACT,port-down", "FACT"],
    ["FACT,port-down,yes", "FACT"],
    // More than the verb takes.
    ["BROUGHTUP,now", "BROUGHTUP"],
    ["UNDO,1", "UNDO"],
    ["RODE,35,M,40", "RODE"],
    [`LETGO,${FIX},1`, "LETGO"],
    ["WEIGH,BALL,BALL", "WEIGH"],
    ["WIND,15,N,225,T", "WIND"],
  ])("%j", (body, verb) => {
    expect(said(body)).toEqual({ order: undefined, problem: "format", verb });
  });

  test("empty places at the end are no mistake", () => {
    expect(said("BROUGHTUP,,")).toEqual({ order: { verb: "BROUGHTUP" }, problem: undefined });
    expect(said("WEIGH,,,")).toMatchObject({ order: { verb: "WEIGH" } });
  });
});

test("another maker's sentence, or another talker's PRDW, is not ours", () => {
  const kinds = [
    seal("PRDX,LETGO"),
    seal("PRDWX,LETGO"),
    seal("IIPRDW,LETGO"),
    `!${seal("PRDW,LETGO").slice(1)}`,
  ];
  for (const text of kinds)
    expect(decode(text, { checksum: "required" }).pieces).toMatchObject([{ kind: "unknown" }]);
});
