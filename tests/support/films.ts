import { writeDicom } from "@heelward/radiograph/dicom";
import { phantomFromMeasures } from "@heelward/radiograph/phantom";
import type { TestPerson, TestService } from "./service.ts";
import { uploadFilm } from "./uploads.ts";

type Measures = Parameters<typeof phantomFromMeasures>[0];
type Choices = NonNullable<Parameters<typeof phantomFromMeasures>[1]>;

/** An invented founder case: rotation of about nine degrees. */
const FOUNDERED: Measures = {
  palmarAngleDegrees: 12,
  boneFrontAngleDegrees: 60,
  wallAngleDegrees: 51,
  wallToBoneTopMm: 16,
  wallToBoneBottomMm: 21.4,
  soleTipMm: 9,
  soleWingMm: 20.2,
  founderDistanceMm: 11,
  breakoverDistanceMm: 40,
  solarLengthMm: 54,
  wallSpanMm: 34,
};

export type Points = Record<string, { x: number; y: number }>;

/** A rendered side view with its true points and the DICOM file of it. */
export const renderedFilm = (
  measures: Measures = FOUNDERED,
  choices: Choices & { readonly side?: "L" | "R"; readonly horseName?: string } = {},
) => {
  const phantom = phantomFromMeasures(measures, choices);
  const points: Points = Object.fromEntries(
    Object.entries(phantom.landmarksPx).map(([key, point]) => [key, { x: point.x, y: point.y }]),
  );
  const dicom = writeDicom(phantom.film, {
    horseName: choices.horseName ?? "Test Horse",
    horseId: "1",
    ownerName: "Odo Owner",
    takenOn: "2026-10-13",
    takenAtTime: "10:00:00",
    side: choices.side ?? "L",
    view: "lateromedial",
  });
  return { phantom, points, dicom };
};

/** Bytes of an answer that is not JSON. */
export const bytesFrom = async (
  person: TestPerson,
  path: string,
): Promise<{ readonly status: number; readonly type: string; readonly bytes: Buffer }> => {
  const answer = await person
    .get(path)
    .buffer(true)
    .parse((response, done) => {
      const chunks: Buffer[] = [];
      response.on("data", (chunk: Buffer) => chunks.push(chunk));
      response.on("end", () => done(null, Buffer.concat(chunks)));
    });
  return {
    status: answer.status,
    type: String(answer.headers["content-type"]),
    bytes: answer.body as Buffer,
  };
};

const expectStatus = (
  answer: { readonly status: number; readonly text: string },
  wanted: number,
): void => {
  if (answer.status !== wanted)
    throw new Error(`expected ${wanted}: ${answer.status} ${answer.text}`);
};

/** A film with the marker's length stated, the side confirmed by a second person, and measured. */
export const measuredFilm = async (
  service: TestService,
  caseId: string,
  second: TestPerson,
  film: Pick<ReturnType<typeof renderedFilm>, "dicom" | "points">,
  fields: Readonly<Record<string, string>> = {},
): Promise<string> => {
  const foot = fields["foot"] ?? "LF";
  const added = await uploadFilm(service, caseId, film.dicom, {
    foot,
    groundLineOn: "foot surface",
    ...fields,
  });
  expectStatus(added, 201);
  const id = added.body.id as string;
  expectStatus(
    await service.vet.send(
      "patch",
      `/radiographs/${id}`,
      { scale: { kind: "marker", lengthMm: 100, lengthStandardUncertaintyMm: 0.2 } },
      1,
    ),
    200,
  );
  expectStatus(await second.send("post", `/radiographs/${id}/side-confirmation`, { foot }, 2), 200);
  expectStatus(
    await service.vet.send("post", `/radiographs/${id}/landmark-sets`, { points: film.points }),
    201,
  );
  return id;
};
