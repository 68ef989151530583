import "@fastify/multipart";
import type { FastifyRequest } from "fastify";
import { Problem } from "./problem.ts";
import type { UploadedFile } from "./work.ts";

export const UPLOAD_LIMIT_BYTES = 64 * 1024 * 1024;

/** Reads exactly one file and the fields beside it. */
export const readUpload = async (
  request: FastifyRequest,
): Promise<{ readonly file: UploadedFile; readonly fields: Record<string, string> }> => {
  if (!request.isMultipart())
    throw new Problem("unsupported-media", "Send the file as multipart/form-data.", {
      accepted: ["multipart/form-data"],
    });
  const fields: Record<string, string> = {};
  let file: UploadedFile | undefined;
  for await (const part of request.parts()) {
    if (part.type === "file") {
      if (file !== undefined)
        throw new Problem("malformed-request", "Send one file at a time.", {
          errors: [{ pointer: "/file", detail: "only one file" }],
        });
      file = {
        fileName: part.filename.normalize("NFC").slice(0, 200) || "file",
        mediaType: part.mimetype,
        bytes: await part.toBuffer(),
      };
    } else if (typeof part.value === "string") {
      Object.defineProperty(fields, part.fieldname, { value: part.value, enumerable: true });
    }
  }
  if (file === undefined || file.bytes.length === 0)
    throw new Problem("malformed-request", "There is no file in the request.", {
      errors: [{ pointer: "/file", detail: "is missing or empty" }],
    });
  return { file, fields };
};
