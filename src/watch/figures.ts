/** What is reckoned each second, for the findings, the page, the sentences out and the summary. */
import type { Circle } from "./circle.ts";
import type { DragNow } from "./drag-watch.ts";
import type { Heights } from "./ground.ts";
import type { Guidance } from "./guidance.ts";
import type { ScopeNow } from "./scope.ts";
import type { TackleNow } from "./tackle-now.ts";
import type { TideNow } from "./tide-now.ts";

export interface Figures {
  heights: Heights;
  circle: Circle | undefined;
  scope: ScopeNow;
  tackle: TackleNow;
  tide: TideNow;
  drag: DragNow;
  guidance: Guidance;
}
