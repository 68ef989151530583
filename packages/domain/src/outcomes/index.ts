/** What a practice may say about many cases: counts with their n, and nothing read into a handful. */
export { FEWEST_FOR_RATE, FEWEST_RULE, rateOf, summaryOf, type Rate, type Summary } from "./few.ts";
