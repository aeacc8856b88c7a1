import type { TestService } from './service.js';

type Method = 'get' | 'post' | 'patch' | 'put' | 'delete';

interface Schema {
  $ref?: string;
  properties?: Record<string, Schema>;
  items?: Schema;
  allOf?: Schema[];
}

interface Operation {
  'x-access'?: string;
  parameters?: { name: string; in: string }[];
  requestBody?: { content: Record<string, { schema: Schema }> };
}

/** One route as the served document has it. */
export interface Route {
  /** `POST /v1/lots/{id}/readings` */
  readonly name: string;
  readonly method: Method;
  readonly path: string;
  readonly access: string;
  readonly writes: boolean;
  readonly hasBody: boolean;
  /** JSON pointers of the ids that the body can carry; `0` stands for a member of a list. */
  readonly bodyIds: readonly string[];
  readonly queryIds: readonly string[];
}

/** Every route of the service, from the document that it serves. */
export async function routesOf(service: TestService): Promise<Route[]> {
  const document = (await service.expect(200, 'get', '/openapi.json')).body as {
    paths: Record<string, Record<string, Operation>>;
    components: { schemas: Record<string, Schema> };
  };
  const idsIn = (schema: Schema, place: string): string[] => {
    const resolved =
      schema.$ref === undefined ? schema : document.components.schemas[String(schema.$ref.split('/').at(-1))];
    return [
      ...Object.entries(resolved.properties ?? {}).flatMap(([name, each]) => [
        ...(name.endsWith('Id') ? [`${place}/${name}`] : name.endsWith('Ids') ? [`${place}/${name}/0`] : []),
        ...idsIn(each, `${place}/${name}`),
      ]),
      ...(resolved.items === undefined ? [] : idsIn(resolved.items, `${place}/0`)),
      ...(resolved.allOf ?? []).flatMap((each) => idsIn(each, place)),
    ];
  };
  return Object.entries(document.paths).flatMap(([path, item]) =>
    Object.entries(item).map(([method, operation]): Route => {
      const schema = operation.requestBody?.content['application/json']?.schema;
      const access = String(operation['x-access']);
      return {
        name: `${method.toUpperCase()} ${path}`,
        method: method as Method,
        path,
        access,
        writes: method !== 'get' && access !== 'calculations' && access !== 'public',
        hasBody: schema !== undefined,
        bodyIds: schema === undefined ? [] : [...new Set(idsIn(schema, ''))],
        queryIds: (operation.parameters ?? [])
          .filter((each) => each.in === 'query' && each.name.endsWith('Id'))
          .map(({ name }) => name),
      };
    }),
  );
}

/** The collection that the id of a path belongs to: `/v1/lots/{id}/readings` → lots. */
export const collectionOf = (path: string): string | undefined => /\/([a-z-]+)\/\{id\}/.exec(path)?.[1];

type Json = Record<string, unknown>;

/** What a pointer leads to; undefined where there is nothing. */
export const valueAt = (body: unknown, pointer: string): unknown =>
  pointer
    .split('/')
    .slice(1)
    .reduce<unknown>((value, name) => (value as Json | undefined)?.[name], body);

/** A copy of a body with another value at a pointer. */
export function withValueAt(body: unknown, pointer: string, value: unknown): unknown {
  const copy = structuredClone(body) as Json;
  const names = pointer.split('/').slice(1);
  const holder = names.slice(0, -1).reduce<Json>((each, name) => each[name] as Json, copy);
  holder[names[names.length - 1]] = value;
  return copy;
}
