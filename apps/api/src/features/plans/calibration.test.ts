import { calibrateDriving } from "@heelward/routing";
import { describe, expect, it } from "vitest";
import { tripsOf } from "./calibration.ts";

const at = (clock: string, day = "2026-10-14") => new Date(`${day}T${clock}:00Z`);
const visit = (
  yardId: string,
  lat: number,
  startedAt: Date | null,
  doneAt: Date,
  farrierId = "F",
) => ({ farrierId, startedAt, doneAt, yardId, lat, lon: -9 });

describe("drives read from the visits of a day", () => {
  it("run from the end of one yard's work to the beginning of the next", () => {
    const trips = tripsOf(
      [
        visit("A", 53, at("08:00"), at("09:00")),
        visit("B", 53.1, at("09:20"), at("10:00")),
        visit("B", 53.1, at("10:05"), at("11:00")),
        visit("C", 53.2, at("11:30"), at("12:00")),
      ],
      "Europe/Dublin",
    );
    expect(trips.map((trip) => trip.seconds)).toEqual([1200, 1800]);
    expect(trips[1]?.from.latDegrees).toBe(53.1);
  });

  it("leave out other farriers, other days, visits without a beginning, and breaks of hours", () => {
    expect(
      tripsOf(
        [
          visit("A", 53, at("08:00"), at("09:00")),
          visit("B", 53.1, at("09:20"), at("10:00"), "G"),
          visit("A", 53, at("10:20"), at("11:00")),
          visit("B", 53.1, null, at("12:00")),
          visit("C", 53.2, at("16:00"), at("17:00")),
          visit("D", 53.3, at("08:00", "2026-10-15"), at("09:00", "2026-10-15")),
          visit("E", 53.4, at("08:50", "2026-10-15"), at("09:50", "2026-10-15")),
        ],
        "Europe/Dublin",
      ),
    ).toEqual([]);
  });

  it("teach the speed that explains them: 11.12 km at 40 km/h with 1.35 road km per straight km", () => {
    // A tenth of a degree of latitude is 11.12 km on the mean sphere (6371.0088 km, IUGG).
    const straightKm = (Math.PI / 1800) * 6371.0088;
    const driveMs = ((straightKm * 1.35) / 40) * 3_600_000;
    const visits = Array.from({ length: 12 }, (_, day) => {
      const on = `2026-09-${String(day + 1).padStart(2, "0")}`;
      const leftMs = at("09:00", on).getTime();
      return [
        visit("A", 53, at("08:00", on), at("09:00", on)),
        visit("B", 53.1, new Date(leftMs + driveMs), new Date(leftMs + driveMs + 3_600_000)),
      ];
    }).flat();
    const learnt = calibrateDriving(tripsOf(visits, "Europe/Dublin"));
    expect(learnt.basis).toBe("trips");
    expect(learnt.settings.speedKmh).toBeCloseTo(40, 1);
  });
});
