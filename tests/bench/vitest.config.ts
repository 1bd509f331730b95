import { defineConfig } from "vitest/config";

/** Benchmarks: the built program, loaded by Node itself, one file after another. Timings never fail. */
export default defineConfig({
  test: {
    name: "bench",
    include: ["tests/bench/**/*.test.ts"],
    pool: "forks",
    fileParallelism: false,
    disableConsoleIntercept: true,
    testTimeout: 600_000,
    server: { deps: { external: [/\/dist\//] } },
  },
});
