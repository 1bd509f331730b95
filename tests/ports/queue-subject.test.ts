import { describe, expect, test } from "vitest";
import { subjectOf } from "../../src/ports/queue-subject.ts";

const matter = (text: string) => subjectOf(text)?.matter;

describe("what a queued sentence is about", () => {
  test.each([
    ["same depth sentence", "$IIDPT,6.3,0.5*00", "$IIDPT,6.4,0.5*00"],
    ["same XDR head", "$IIXDR,D,42.5,M,RODEREQ,G,5.2,,SCOPE*00", "$IIXDR,D,43.0,M,RODEREQ,G,5.1,,SCOPE*00"],
    [
      "same alert, other state",
      "$IIALF,1,1,3,123519.00,B,A,V,RDW,10801,1,1,0,ANCHOR DRAGGING*00",
      "$IIALF,1,1,4,123530.00,B,A,A,RDW,10801,1,2,0,ANCHOR DRAGGING*00",
    ],
    ["same ALR number", "$IIALR,123519.00,801,A,V,DRAGGING*00", "$IIALR,123549.00,801,A,A,DRAGGING*00"],
    ["same waypoint", "$IIWPL,5045.61,N,00118.23,W,ANCHOR*00", "$IIWPL,5045.62,N,00118.23,W,ANCHOR*00"],
  ])("%s: the newer replaces the older", (_, older, newer) => {
    expect(matter(older)).toBeDefined();
    expect(matter(newer)).toBe(matter(older));
  });

  test.each([
    ["other talker", "$IIDPT,6.3,0.5*00", "$SDDPT,6.3,0.5*00"],
    ["other XDR head", "$IIXDR,D,42.5,M,RODEREQ*00", "$IIXDR,D,35.0,M,RODE*00"],
    ["one XDR name more", "$IIXDR,D,42.5,M,RODEREQ*00", "$IIXDR,D,42.5,M,RODEREQ,G,5.2,,SCOPE*00"],
    [
      "other alert",
      "$IIALF,1,1,3,123519.00,B,A,V,RDW,10801,1,1,0,ANCHOR DRAGGING*00",
      "$IIALF,1,1,4,123519.00,B,A,V,RDW,10802,1,1,0,OUT OF CIRCLE*00",
    ],
    ["other ALR number", "$IIALR,123519.00,801,A,V,A*00", "$IIALR,123519.00,802,A,V,B*00"],
    ["relative and true wind", "$WIMWV,12.0,R,9.0,N,A*00", "$WIMWV,20.0,T,7.0,N,A*00"],
    ["other waypoint", "$IIWPL,5045.61,N,00118.23,W,ANCHOR*00", "$IIWPL,5045.61,N,00118.23,W,SLIPPED*00"],
  ])("%s: both stay", (_, one, other) => {
    expect(matter(one)).toBeDefined();
    expect(matter(other)).toBeDefined();
    expect(matter(other)).not.toBe(matter(one));
  });

  test("the two parts of one alert report belong together", () => {
    const first = subjectOf("$IIALF,2,1,3,123519.00,B,A,V,RDW,10801,1,1,0,ANCHOR DRAGGING*46");
    const second = subjectOf("$IIALF,2,2,3,,,,,RDW,10801,1,1,0,MOVED 14 M TOWARD 065. CHECK POSITION*59");
    expect(second).toEqual(first);
    expect(first?.report).toBe("3");
  });

  test.each([
    "$PRDW,ACK,LETGO*00",
    "$PRDWX,1*00",
    "!AIVDM,1,1,,A,13u?etPv2;0n:dDPwUM1U1Cb069D,0*24",
    "$IIARC,123519.00,RDW,10801,1,A*00",
    "$IITXT,02,01,05,HELLO*00",
    "$GPGSV,3,1,11*00",
    "\\s:x*00\\$IIDPT,6.3,0.5*00",
    "garbage",
    "$",
    "",
  ])("%j is never replaced", (text) => {
    expect(subjectOf(text)).toBeUndefined();
  });
});
