// One CAD import through OpenCascade (occt-import-js, compiled to WebAssembly), the same in Node and in a browser worker.
// The importer gives positions per face, triangle ranges and names; its normals (averages of facets) are not taken over.
import type { CadFormat, ImportSettings, RawBody, RawImport } from '../model/raw-import.ts';

interface OcctMesh {
  readonly name: string;
  readonly brep_faces: readonly { readonly first: number; readonly last: number }[];
  readonly attributes: { readonly position: { readonly array: ArrayLike<number> } };
  readonly index: { readonly array: ArrayLike<number> };
}

interface OcctNode {
  readonly name: string;
  readonly meshes: readonly number[];
  readonly children: readonly OcctNode[];
}

type OcctResult =
  | { readonly success: false }
  | { readonly success: true; readonly root: OcctNode; readonly meshes: readonly OcctMesh[] };

interface OcctModule {
  ReadFile(format: CadFormat, bytes: Uint8Array, settings: object): OcctResult;
}

type Imports = Parameters<typeof WebAssembly.instantiate>[1];

/** What `occt-import-js` exports: makes one instance; the hooks are those of an Emscripten module. */
export type OcctFactory = (hooks: {
  print(line: string): void;
  printErr(line: string): void;
  instantiateWasm(imports: object, done: (instance: object) => void): object;
}) => Promise<OcctModule>;

/**
 * Imports `bytes` with a fresh instance of the compiled `wasm`. Lengths come out in mm, deflections go in as mm and rad.
 * A file that cannot be read, an importer that traps, and one that never becomes ready are `ok: false` with what it
 * printed. The instance's memory never shrinks: run this in a worker and end the worker afterwards.
 */
export async function runOcctJob(
  factory: OcctFactory,
  wasm: WebAssembly.Module,
  bytes: Uint8Array,
  format: CadFormat,
  settings: ImportSettings,
): Promise<RawImport> {
  const printed: string[] = [];
  const keep = (line: string): void => {
    const words = line.replaceAll('*', '').trim();
    if (words !== '') printed.push(words);
  };
  let instance: OcctModule;
  try {
    instance = await new Promise<OcctModule>((resolve, reject) => {
      factory({
        print: keep,
        printErr: keep,
        instantiateWasm(imports, done) {
          WebAssembly.instantiate(wasm, imports as Imports).then(done, reject);
          return {};
        },
      }).then(resolve, reject);
    });
    const result = instance.ReadFile(format, bytes, {
      linearUnit: 'millimeter',
      linearDeflectionType: 'absolute_value',
      linearDeflection: settings.linear,
      angularDeflection: settings.angular,
    });
    return result.success ? { ok: true, bodies: toRawBodies(result.meshes, result.root) } : failed(printed, '');
  } catch (error) {
    // A trap, a C++ exception (a bare number) or no memory: this instance is lost, and so is the import.
    return failed(printed, error instanceof Error ? error.message : 'internal exception');
  }
}

/** The buffers of a result, to be moved instead of copied. */
export function rawBuffers(result: RawImport): ArrayBuffer[] {
  if (!result.ok) return [];
  return result.bodies.flatMap((body) =>
    [body.position, body.triangle, body.faceRange].map((array) => array.buffer as ArrayBuffer),
  );
}

function failed(printed: readonly string[], trap: string): RawImport {
  const said = printed.slice(-3).join('; ').slice(0, 300);
  const stopped = trap === '' ? '' : `the importer stopped (${trap.slice(0, 120)})`;
  const reason = [stopped, said].filter((part) => part !== '').join(': ');
  return { ok: false, reason: reason === '' ? 'the importer gave no reason' : reason };
}

/** A mesh without a name of its own takes the name of the node that holds it. */
function toRawBodies(meshes: readonly OcctMesh[], root: OcctNode): RawBody[] {
  const nodeName: string[] = new Array(meshes.length).fill('');
  const visit = (node: OcctNode): void => {
    for (const mesh of node.meshes) nodeName[mesh] = node.name;
    node.children.forEach(visit);
  };
  visit(root);
  return meshes.map((mesh, i) => {
    const faceRange = new Uint32Array(2 * mesh.brep_faces.length);
    mesh.brep_faces.forEach((face, f) => {
      faceRange[2 * f] = face.first;
      faceRange[2 * f + 1] = face.last + 1;
    });
    return {
      name: mesh.name === '' ? nodeName[i] : mesh.name,
      position: Float64Array.from(mesh.attributes.position.array),
      triangle: Uint32Array.from(mesh.index.array),
      faceRange,
    };
  });
}
