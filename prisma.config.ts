import { defineConfig } from "prisma/config";

// The connection is given to the service, not to this tool: `DATABASE_URL` is needed only by
// whoever runs the tool's own migration commands by hand.
export default defineConfig({
  schema: "prisma/schema.prisma",
  migrations: { path: "prisma/migrations" },
  datasource: { url: process.env["DATABASE_URL"] ?? "" },
});
