// The catalogues that come along with the program: optics, materials, arms, heads, pairs.
import arms from '../../shared/data/arms.json' with { type: 'json' };
import heads from '../../shared/data/heads.json' with { type: 'json' };
import materials from '../../shared/data/materials.json' with { type: 'json' };
import optics from '../../shared/data/optics.json' with { type: 'json' };
import pairs from '../../shared/data/pairs.json' with { type: 'json' };
import { type Catalogue, parseCatalogue } from '../model/catalogue.ts';

export const readCatalogue = (): Catalogue => parseCatalogue(optics, materials, arms, heads, pairs);
