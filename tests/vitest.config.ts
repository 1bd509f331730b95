import { defineConfig } from "vitest/config";

/** Pure parts share one process; edges open sockets, so each file has its own. */
export default defineConfig({
  test: {
    globalSetup: ["tests/build.ts"],
    projects: [
      {
        extends: true,
        test: {
          name: "core",
          include: ["tests/{units,nmea,instruments,tackle,watch,alerts,rehearsal,config}/**/*.test.ts", "tests/*.test.ts"],
          isolate: false,
        },
      },
      { extends: true, test: { name: "replay", include: ["tests/replay/**/*.test.ts"], testTimeout: 60_000 } },
      {
        extends: true,
        test: {
          name: "edges",
          include: ["tests/{ports,page,cli,aboard}/**/*.test.ts"],
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
    ],
  },
});
