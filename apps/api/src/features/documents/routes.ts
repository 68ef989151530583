import { addDocument, listDocuments, readDocumentContent } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as documents from "./service.ts";

export const documentRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listDocuments, (work, { params, query }) =>
    documents.list(work, params.horseId, query),
  );
  route(
    app,
    dependencies,
    addDocument,
    (work, { params, body, file, prepared }) =>
      documents.add(work, params.horseId, file, prepared, body),
    documents.prepare,
  );
  route(app, dependencies, readDocumentContent, (work, { params }) =>
    documents.content(work, params.documentId),
  );
};
