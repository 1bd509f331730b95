/** The night log as the daemon wires it. */
import type { Config } from "../config/schema.ts";
import { watchSettings } from "../config/settings.ts";
import { exportOf } from "../nightlog/exports/night-export.ts";
import { nameNight } from "../nightlog/naming.ts";
import { createNightLog, type NightLog, type NightLogDeps } from "../nightlog/night-log.ts";
import { openReview, type Review } from "../nightlog/review.ts";
import { nightSeries } from "../nightlog/series.ts";
import type { NightSeries, RerunSettings } from "../page/night-state.ts";
import type { NightFile, NightsDeps, SeriesWish } from "../page/nights.ts";
import { nightConfig } from "./night-config.ts";
import { momentOf } from "./night-moment.ts";
import { createRerunJob } from "./rerun-job.ts";

export function openNights({
  directory,
  config,
  configNow,
  ...deps
}: { directory: string; config: Config; configNow: () => Config } & Pick<
  NightLogDeps,
  "fact" | "log" | "nowMs"
>): NightLog {
  return createNightLog(directory, {
    ...deps,
    config: () => JSON.stringify(configNow()),
    origin: "watch",
    keepRaw: config.log.raw,
    keepNights: config.log.keep_nights,
    wallMs: Date.now,
  });
}

export interface NightsOnPage extends NightsDeps {
  close(): void;
}

/**
 * The nights for the page. Opened anew for each look: the file may have been set aside since the last.
 * @param cli the compiled command line, for reruns; left out, beside this code
 */
export function nightsForPage(directory: string, cli?: string): NightsOnPage {
  const job = createRerunJob(directory, cli);
  const looked = <T>(look: (review: Review) => T): T | undefined => {
    const review = openReview(directory);
    try {
      return review && look(review);
    } finally {
      review?.close();
    }
  };
  return {
    list: () => looked((review) => review.list()) ?? [],
    async series(id, wish) {
      const review = openReview(directory);
      try {
        return review === undefined ? undefined : await seriesOf(review, id, wish);
      } finally {
        review?.close();
      }
    },
    moment: (id, atMs) =>
      looked((review) => {
        const night = review.night(id);
        const row = night && review.rowAt(id, atMs);
        return row && momentOf(night, row);
      }),
    file: (id, kind) => fileOf(openReview(directory), id, kind),
    name: (id, name) => nameNight(directory, id, name),
    rerun: {
      ...job,
      start: (id, settings) =>
        (looked((review) => review.night(id)?.raw.lines) ?? 0) > 0 && job.start(id, settings),
    },
    close: job.close,
  };
}

async function seriesOf(review: Review, id: number, wish: SeriesWish): Promise<NightSeries | undefined> {
  const night = review.night(id);
  const series = night && (await nightSeries(review, id, wish));
  return series && { ...series, settings: settingsOf(night.config) };
}

function settingsOf(text: string): RerunSettings | null {
  const config = nightConfig(text);
  if (config === undefined) return null;
  const { marginM, windLimitMps, gustLimitMps, steps } = watchSettings(config);
  return { marginM, windLimitMps, gustLimitMps, steps: steps.map((step) => ({ ...step })) };
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
