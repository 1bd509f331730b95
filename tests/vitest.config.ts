import { defineConfig } from "vitest/config";

/** Pure parts share one process; edges open sockets, so each file has its own. */
export default defineConfig({
  test: {
    testTimeout: 30_000,
    projects: [
      {
        extends: true,
        test: {
          name: "core",
          include: [
            "tests/{units,nmea,instruments,tackle,watch,alerts,rehearsal,config,nights}/**/*.test.ts",
            "tests/*.test.ts",
          ],
          isolate: false,
        },
      },
      {
        extends: true,
        test: { name: "replay", include: ["tests/replay/**/*.test.ts"], testTimeout: 60_000 },
      },
      {
        extends: true,
        test: {
          name: "edges",
          globalSetup: ["tests/build.ts"],
          include: ["tests/{ports,page,cli,aboard,nightlog,install,security,faults,fuzz}/**/*.test.ts"],
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
    ],
  },
});
