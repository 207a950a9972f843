// The program's version, part of every answer so that it can be reproduced later. Kept equal to package.json by a test.

export const programVersion = '0.1.0';
