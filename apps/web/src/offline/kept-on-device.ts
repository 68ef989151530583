/** The answer of a write that lies on the device; the page shows it and goes on. */
export interface KeptOnDevice {
  readonly keptOnDevice: true;
  readonly id: string;
}

export const isKeptOnDevice = (answer: unknown): answer is KeptOnDevice =>
  typeof answer === "object" && answer !== null && "keptOnDevice" in answer;
