import { randomUUID } from "node:crypto";
import request, { type Test } from "supertest";
import type { TestPerson, TestService } from "./service.ts";

/** Uploads a file with its fields as a signed-in person. */
const uploadAs = (
  service: TestService,
  person: TestPerson,
  path: string,
  bytes: Uint8Array,
  fileName: string,
  fields: Readonly<Record<string, string>>,
): Test => {
  const call = request(service.app.server)
    .post(`/api/v1${path}`)
    .auth(person.token, { type: "bearer" })
    .set("idempotency-key", randomUUID());
  for (const [name, value] of Object.entries(fields)) void call.field(name, value);
  return call.attach("file", Buffer.from(bytes), fileName);
};

/** Uploads a film as the vet. */
export const uploadFilm = (
  service: TestService,
  caseId: string,
  bytes: Uint8Array,
  fields: Readonly<Record<string, string>>,
): Test =>
  uploadAs(service, service.vet, `/cases/${caseId}/radiographs`, bytes, "film.dcm", fields);

/** Uploads a photo of a horse as the vet. */
export const uploadPhoto = (service: TestService, horseId: string, bytes: Uint8Array): Test =>
  uploadAs(service, service.vet, `/horses/${horseId}/documents`, bytes, "foot.png", {
    kind: "photo",
    takenAt: "2026-10-14T06:30:00+01:00",
  });
