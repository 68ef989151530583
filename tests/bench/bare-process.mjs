// The same statements over the same number of connections, with nothing but Fastify and the driver.
import Fastify from "fastify";
import pg from "pg";

const { appUrl, routes } = JSON.parse(process.env.BENCH_BARE);
const pool = new pg.Pool({
  connectionString: appUrl,
  max: 10,
  // As the service connects: the comparison is about what lies between, not about kept plans.
  options: "-c plan_cache_mode=force_generic_plan",
});
const app = Fastify();

for (const { path, statements } of routes) {
  app.get(path, async () => {
    const client = await pool.connect();
    try {
      const answers = [];
      for (const statement of statements) {
        const { rows } = await client.query(statement);
        if (rows.length > 0) answers.push(rows);
      }
      return answers;
    } finally {
      client.release();
    }
  });
}

const url = await app.listen({ host: "127.0.0.1", port: 0 });
process.on("disconnect", () => process.exit(0));
process.send({ url });
