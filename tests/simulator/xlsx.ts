import { crc32, deflateRawSync } from 'node:zlib'

export type Cell = string | number | null

const markup = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;')

function columnName(index: number): string {
  const letter = String.fromCharCode(65 + (index % 26))
  return index < 26 ? letter : columnName(Math.floor(index / 26) - 1) + letter
}

function sheetXml(rows: readonly (readonly Cell[])[]): string {
  const body = rows.map((cells, row) => {
    const written = cells.map((cell, column) => {
      if (cell === null || cell === '') return ''
      const place = `${columnName(column)}${row + 1}`
      if (typeof cell === 'number') return `<c r="${place}"><v>${cell}</v></c>`
      return `<c r="${place}" t="inlineStr"><is><t xml:space="preserve">${markup(cell)}</t></is></c>`
    })
    return `<row r="${row + 1}">${written.join('')}</row>`
  })
  return `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>
<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>${body.join('')}</sheetData></worksheet>`
}

const head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
const office = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'

/** A workbook with one sheet (ECMA-376), with fixed times inside, so that the same rows give the same bytes. */
export function xlsx(sheet: string, rows: readonly (readonly Cell[])[]): Uint8Array {
  const parts: [string, string][] = [
    [
      '[Content_Types].xml',
      `${head}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`,
    ],
    [
      '_rels/.rels',
      `${head}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="${office}/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
    ],
    [
      'xl/workbook.xml',
      `${head}<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="${office}"><sheets><sheet name="${markup(sheet)}" sheetId="1" r:id="rId1"/></sheets></workbook>`,
    ],
    [
      'xl/_rels/workbook.xml.rels',
      `${head}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="${office}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`,
    ],
    ['xl/worksheets/sheet1.xml', sheetXml(rows)],
  ]
  return zip(parts.map(([name, text]) => [name, Buffer.from(text)]))
}

/** A ZIP archive (PKWARE APPNOTE 4.3) of deflated parts, each dated 1 January 1980. */
function zip(parts: readonly (readonly [string, Buffer])[]): Uint8Array {
  const bodies: Buffer[] = []
  const directory: Buffer[] = []
  let offset = 0
  for (const [name, data] of parts) {
    const packed = deflateRawSync(data)
    const label = Buffer.from(name)
    const common = Buffer.alloc(26)
    common.writeUInt16LE(20, 0)
    common.writeUInt16LE(8, 4)
    common.writeUInt16LE(33, 8)
    common.writeUInt32LE(crc32(data), 10)
    common.writeUInt32LE(packed.length, 14)
    common.writeUInt32LE(data.length, 18)
    common.writeUInt16LE(label.length, 22)
    const local = Buffer.concat([Buffer.from('PK\x03\x04', 'latin1'), common, label, packed])
    const entry = Buffer.alloc(14)
    entry.writeUInt32LE(offset, 10)
    directory.push(Buffer.concat([Buffer.from('PK\x01\x02\x14\x00', 'latin1'), common, entry, label]))
    bodies.push(local)
    offset += local.length
  }
  const central = Buffer.concat(directory)
  const end = Buffer.alloc(22)
  end.write('PK\x05\x06', 0, 'latin1')
  end.writeUInt16LE(parts.length, 8)
  end.writeUInt16LE(parts.length, 10)
  end.writeUInt32LE(central.length, 12)
  end.writeUInt32LE(offset, 16)
  return Buffer.concat([...bodies, central, end])
}
