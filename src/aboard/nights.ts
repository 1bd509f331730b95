/** The night log as the daemon wires it. */
import type { Config } from "../config/schema.ts";
import { exportOf } from "../nightlog/exports/night-export.ts";
import { createNightLog, type NightLog, type NightLogDeps } from "../nightlog/night-log.ts";
import { openReview, type Review } from "../nightlog/review.ts";
import { nightSeries } from "../nightlog/series.ts";
import type { NightFile, NightsDeps } from "../page/nights.ts";

export function openNights({
  directory,
  config,
  ...deps
}: { directory: string; config: Config } & Pick<NightLogDeps, "fact" | "log" | "nowMs">): NightLog {
  return createNightLog(directory, {
    ...deps,
    config: JSON.stringify(config),
    origin: "watch",
    keepRaw: config.log.raw,
    keepNights: config.log.keep_nights,
    wallMs: Date.now,
  });
}

/** The nights for the page. Opened anew for each look: the file may have been set aside since the last. */
export function nightsForPage(directory: string): NightsDeps {
  return {
    list() {
      const review = openReview(directory);
      try {
        return review?.list() ?? [];
      } finally {
        review?.close();
      }
    },
    async series(id, width) {
      const review = openReview(directory);
      try {
        return review === undefined ? undefined : await nightSeries(review, id, width);
      } finally {
        review?.close();
      }
    },
    file: (id, kind) => fileOf(openReview(directory), id, kind),
  };
}

function fileOf(review: Review | undefined, id: number, kind: NightFile): Iterable<string> | undefined {
  const night = review?.night(id);
  if (review !== undefined && night !== undefined && (kind !== "nmea" || night.raw.lines > 0))
    return closing(review, exportOf(review, night, kind));
  review?.close();
  return undefined;
}

/** Closes when all is taken, or when whoever takes goes away. */
function* closing(review: Review, pieces: Iterable<string>): Generator<string> {
  try {
    yield* pieces;
  } finally {
    review.close();
  }
}
