// Hands bytes to the person as a file of the browser's downloads.

/** Longest time that a browser takes to begin a download, ms. */
const HELD = 10_000;

const TYPES: Readonly<Record<string, string>> = {
  csv: 'text/csv',
  json: 'application/json',
  svg: 'image/svg+xml',
  glb: 'model/gltf-binary',
  zip: 'application/zip',
};

export function handOver(name: string, bytes: Uint8Array): void {
  const type = TYPES[name.slice(name.lastIndexOf('.') + 1)] ?? 'application/octet-stream';
  const url = URL.createObjectURL(new Blob([bytes as Uint8Array<ArrayBuffer>], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), HELD);
}

/** A title as a file name without extension; never empty. */
export function fileTitle(title: string): string {
  const plain = title
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/[^A-Za-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase()
    .slice(0, 60);
  return plain === '' ? 'untitled' : plain;
}
