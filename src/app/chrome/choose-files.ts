// Lets the person choose files, as the browser does it.
import { pageStore } from '../store/page-store.ts';

const KINDS = '.step,.stp,.iges,.igs,.brep,.stl,.json,.csv,.urdf,.zip';

export function chooseFiles(): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.multiple = true;
  input.accept = KINDS;
  input.addEventListener('change', () => {
    if (input.files !== null && input.files.length > 0) void pageStore.getState().openFiles([...input.files]);
  });
  input.click();
}
