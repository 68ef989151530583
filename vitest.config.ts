import { defineConfig } from "vitest/config";

const fromSources = {
  ssr: { resolve: { conditions: ["development", "node"] } },
};

export default defineConfig({
  test: {
    projects: [
      {
        ...fromSources,
        test: {
          name: "unit",
          include: [
            "packages/*/src/**/*.test.ts",
            "apps/api/src/**/*.test.ts",
            "apps/web/src/**/*.test.ts",
            "tests/architecture/**/*.test.ts",
          ],
        },
      },
      {
        ...fromSources,
        test: {
          name: "api",
          include: ["tests/api/**/*.test.ts", "tests/acceptance/**/*.test.ts"],
          globalSetup: ["tests/support/postgres.ts"],
          testTimeout: 30_000,
          hookTimeout: 60_000,
        },
      },
      {
        ...fromSources,
        test: {
          name: "e2e",
          include: ["tests/e2e/**/*.test.ts"],
          globalSetup: ["tests/support/postgres.ts"],
          testTimeout: 180_000,
          hookTimeout: 180_000,
          expect: { poll: { timeout: 60_000 } },
          fileParallelism: false,
        },
      },
    ],
  },
});
