/** What a rerun may change of a night's own settings: `--margin`, `--scope`, `--wind-limit`, `--gust-limit`. */
import type { Config } from "../config/schema.ts";
import { readQuantity } from "../units/quantity.ts";

type Step = Config["scope"]["steps"][number];

export interface Changes {
  marginM: number | undefined;
  windLimitMps: number | undefined;
  gustLimitMps: number | undefined;
  steps: Step[] | undefined;
}

export function changed(config: Config, { marginM, windLimitMps, gustLimitMps, steps }: Changes): Config {
  const { scope, watch } = config;
  const smallest = Math.min(...(steps ?? scope.steps).map(({ ratio }) => ratio));
  return {
    ...config,
    // The least scope was set beside another table: it is never above what is wanted.
    scope: { ...scope, steps: steps ?? scope.steps, least: Math.min(scope.least, smallest) },
    watch: {
      ...watch,
      margin: marginM ?? watch.margin,
      wind_limit: windLimitMps ?? watch.wind_limit,
      gust_limit: gustLimitMps ?? watch.gust_limit,
    },
  };
}

/** `0kn=5,20kn=7` → steps in order of wind; text for a person when it is none. */
export function readSteps(text: string): { ok: true; steps: Step[] } | { ok: false; problem: string } {
  const steps: Step[] = [];
  for (const part of text.split(",")) {
    const [windText = "", ratioText = ""] = part.split("=");
    const wind = readQuantity(windText.trim(), "speed");
    const ratio = Number(ratioText);
    if (!(ratio >= 1 && ratio <= 30))
      return {
        ok: false,
        problem: `"${part}" is no step, which is a wind and the scope from there on: write the table like 0kn=5,20kn=7,30kn=8`,
      };
    if (!wind.ok) return { ok: false, problem: wind.problem };
    steps.push({ wind: wind.value, ratio });
  }
  return { ok: true, steps: steps.sort((a, b) => a.wind - b.wind) };
}
