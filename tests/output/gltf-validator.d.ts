// What the tests use of the validator, which brings no types of its own.
declare module 'gltf-validator' {
  interface Report {
    readonly issues: Readonly<Record<'numErrors' | 'numWarnings' | 'numInfos' | 'numHints', number>>;
    readonly info: { readonly version: string };
  }
  export function validateBytes(bytes: Uint8Array): Promise<Report>;
}
