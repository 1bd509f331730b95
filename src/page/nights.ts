/**
 * The nights kept, for who looks: a list, one night for plotting, one instant of it to draw, and its track and
 * sentences to take away. Who is paired may name its place and run it again under other settings.
 */
import { Readable } from "node:stream";
import type { FastifyInstance, FastifyReply, FastifyRequest } from "fastify";
import { z } from "zod";
import type { BoatState } from "./boat-state.ts";
import type { NightLine, NightSeries, RerunSettings, RerunState } from "./night-state.ts";
import { refuse } from "./refusals.ts";

export type NightFile = "gpx" | "csv" | "geojson" | "nmea";

export interface NightsDeps {
  /** Every night, the latest first. */
  list(): NightLine[];
  /** One night, or a part of it, in so many columns; undefined: there is none of that number. */
  series(id: number, wish: SeriesWish): Promise<NightSeries | undefined>;
  /** The picture at an instant, ms of UTC; undefined where nothing was kept then. */
  moment(id: number, atMs: number): BoatState | undefined;
  /** A night's text in pieces; undefined: no such night, or kept without its sentences. */
  file(id: number, kind: NightFile): Iterable<string> | undefined;
  /** Names the place of a night. False: no such night, or the log cannot be written now. */
  name(id: number, name: string): boolean;
  rerun: {
    /** False: one is running, or the night was kept without its sentences. */
    start(id: number, settings: RerunSettings): boolean;
    state(): RerunState;
    cancel(): void;
  };
}

export interface SeriesWish {
  width: number;
  fromMs?: number | undefined;
  toMs?: number | undefined;
}

/** Refuses whoever is not paired. */
export type Guard = (request: FastifyRequest, reply: FastifyReply, done: () => void) => void;

const idParams = z.object({ id: z.coerce.number().int().positive() });
const instant = z.coerce.number().int().optional();
const seriesQuery = z.strictObject({
  width: z.coerce.number().int().min(10).max(4000).default(800),
  from: instant,
  to: instant,
});
const momentQuery = z.strictObject({ at: z.coerce.number().int() });
const TYPES: Readonly<Record<NightFile, string>> = {
  gpx: "application/gpx+xml; charset=utf-8",
  csv: "text/csv; charset=utf-8; header=present",
  geojson: "application/geo+json; charset=utf-8",
  nmea: "text/plain; charset=iso-8859-1",
};
const KINDS = ["gpx", "csv", "geojson", "nmea"] as const;

export function addNights(app: FastifyInstance, nights: NightsDeps, onlyPaired: Guard): void {
  app.get("/api/nights", () => nights.list());
  addSeries(app, nights);
  for (const kind of KINDS) addFile(app, nights, kind);
  addNaming(app, nights, onlyPaired);
  addRerun(app, nights, onlyPaired);
}

function idIn(request: FastifyRequest): number | undefined {
  return idParams.safeParse(request.params).data?.id;
}

const NO_NIGHT = "there is no such night";

function addSeries(app: FastifyInstance, nights: NightsDeps): void {
  app.get("/api/nights/:id(^\\d+)", async (request, reply) => {
    const id = idIn(request);
    const query = seriesQuery.safeParse(request.query);
    if (id === undefined) return refuse(reply, "path");
    if (!query.success)
      return refuse(reply, "format", "width is a number of columns, 10 to 4000; from and to are ms of UTC");
    const { width, from: fromMs, to: toMs } = query.data;
    const series = await nights.series(id, { width, fromMs, toMs });
    return series === undefined ? refuse(reply, "path", NO_NIGHT) : reply.send(series);
  });
  app.get("/api/nights/:id(^\\d+)/moment", (request, reply) => {
    const id = idIn(request);
    const query = momentQuery.safeParse(request.query);
    if (id === undefined) return refuse(reply, "path");
    if (!query.success) return refuse(reply, "format", "at is an instant, ms of UTC");
    const moment = nights.moment(id, query.data.at);
    return moment === undefined ? refuse(reply, "path", "nothing was kept then") : reply.send(moment);
  });
}

function addFile(app: FastifyInstance, nights: NightsDeps, kind: NightFile): void {
  app.get(`/api/nights/:id(^\\d+).${kind}`, (request, reply) => {
    const id = idIn(request);
    const pieces = id === undefined ? undefined : nights.file(id, kind);
    if (pieces === undefined)
      return refuse(reply, "path", "there is no such night, or it was kept without that");
    // A piece at a time: what is not yet taken is not yet made.
    const stream = Readable.from(encoded(pieces, kind === "nmea" ? "latin1" : "utf8"), { highWaterMark: 1 });
    return reply
      .type(TYPES[kind])
      .header("content-disposition", `attachment; filename="night-${id}.${kind}"`)
      .send(stream);
  });
}

function* encoded(pieces: Iterable<string>, encoding: BufferEncoding): Generator<Buffer> {
  for (const piece of pieces) yield Buffer.from(piece, encoding);
}

const placeBody = z.strictObject({ name: z.string().max(60) });

function addNaming(app: FastifyInstance, nights: NightsDeps, onlyPaired: Guard): void {
  app.post("/api/nights/:id(^\\d+)/place", { onRequest: onlyPaired }, (request, reply) => {
    const id = idIn(request);
    const body = placeBody.safeParse(request.body);
    if (id === undefined) return refuse(reply, "path");
    if (!body.success) return refuse(reply, "format", "a name is up to 60 letters");
    return nights.name(id, body.data.name) ? reply.send({ ok: true }) : refuse(reply, "path", NO_NIGHT);
  });
}

const rerunBody = z.strictObject({
  marginM: z.number().min(0).max(1000),
  windLimitMps: z.number().positive().max(100),
  gustLimitMps: z.number().positive().max(100),
  steps: z
    .array(z.strictObject({ windMps: z.number().min(0).max(100), ratio: z.number().min(1).max(30) }))
    .min(1)
    .max(8),
});

function addRerun(app: FastifyInstance, { rerun }: NightsDeps, onlyPaired: Guard): void {
  app.get("/api/rerun", () => rerun.state());
  app.post("/api/nights/:id(^\\d+)/rerun", { onRequest: onlyPaired }, (request, reply) => {
    const id = idIn(request);
    const body = rerunBody.safeParse(request.body);
    if (id === undefined) return refuse(reply, "path");
    if (!body.success) return refuse(reply, "format", "a margin, limits of wind and gust, and a scope table");
    if (!rerun.start(id, body.data))
      return refuse(reply, "phase", "one rerun at a time, and only of a night with its sentences");
    return reply.send(rerun.state());
  });
  app.post("/api/rerun/cancel", { onRequest: onlyPaired }, (_, reply) => {
    rerun.cancel();
    return reply.send(rerun.state());
  });
}
