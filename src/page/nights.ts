/** The nights kept, for who looks: a list, one night for plotting, and its track and sentences to take away. */
import { Readable } from "node:stream";
import type { FastifyInstance } from "fastify";
import { z } from "zod";
import { refuse } from "./refusals.ts";

export type NightFile = "gpx" | "csv" | "nmea";

export interface NightsDeps {
  /** Every night, the latest first, ready for JSON. */
  list(): unknown;
  /** One night in so many columns; undefined: there is none of that number. */
  series(id: number, width: number): Promise<unknown>;
  /** A night's text in pieces; undefined: no such night, or kept without its sentences. */
  file(id: number, kind: NightFile): Iterable<string> | undefined;
}

const idParams = z.object({ id: z.coerce.number().int().positive() });
const seriesQuery = z.strictObject({ width: z.coerce.number().int().min(10).max(4000).default(800) });
const TYPES: Readonly<Record<NightFile, string>> = {
  gpx: "application/gpx+xml; charset=utf-8",
  csv: "text/csv; charset=utf-8; header=present",
  nmea: "text/plain; charset=iso-8859-1",
};

export function addNights(app: FastifyInstance, nights: NightsDeps): void {
  app.get("/api/nights", () => nights.list());
  app.get("/api/nights/:id(^\\d+)", async (request, reply) => {
    const params = idParams.safeParse(request.params);
    const query = seriesQuery.safeParse(request.query);
    if (!params.success) return refuse(reply, "path");
    if (!query.success) return refuse(reply, "format", "width is a number of columns, 10 to 4000");
    const series = await nights.series(params.data.id, query.data.width);
    return series === undefined ? refuse(reply, "path", "there is no such night") : reply.send(series);
  });
  for (const kind of ["gpx", "csv", "nmea"] as const)
    app.get(`/api/nights/:id(^\\d+).${kind}`, (request, reply) => {
      const params = idParams.safeParse(request.params);
      const pieces = params.success ? nights.file(params.data.id, kind) : undefined;
      if (pieces === undefined)
        return refuse(reply, "path", "there is no such night, or it was kept without that");
      // A piece at a time: what is not yet taken is not yet made.
      const stream = Readable.from(encoded(pieces, kind === "nmea" ? "latin1" : "utf8"), {
        highWaterMark: 1,
      });
      return reply
        .type(TYPES[kind])
        .header("content-disposition", `attachment; filename="night-${params.data?.id}.${kind}"`)
        .send(stream);
    });
}

function* encoded(pieces: Iterable<string>, encoding: BufferEncoding): Generator<Buffer> {
  for (const piece of pieces) yield Buffer.from(piece, encoding);
}
