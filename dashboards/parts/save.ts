/** Hands a file to the reader. */
export function saveBlob(name: string, blob: Blob): void {
  const url = URL.createObjectURL(blob)
  const link = document.createElement('a')
  link.href = url
  link.download = name
  document.body.append(link)
  link.click()
  link.remove()
  setTimeout(() => URL.revokeObjectURL(url), 10_000)
}

export function saveText(name: string, type: string, text: string): void {
  saveBlob(name, new Blob([text], { type: `${type};charset=utf-8` }))
}

/** A drawing that stands by itself: page variables become the colours they had, the ground is painted, the title stands on top. */
export function standalone(
  svg: SVGSVGElement,
  title: string,
): { text: string; width: number; height: number } {
  const styles = getComputedStyle(document.documentElement)
  const width = svg.width.baseVal.value || svg.clientWidth
  const height = svg.height.baseVal.value || svg.clientHeight
  const copy = svg.cloneNode(true) as SVGSVGElement
  const room = 34
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg')
  copy.setAttribute('viewBox', `-12 ${-room} ${width + 24} ${height + room + 12}`)
  copy.setAttribute('width', String(width + 24))
  copy.setAttribute('height', String(height + room + 12))
  for (const link of copy.querySelectorAll('a')) link.replaceWith(...link.childNodes)
  const ground = document.createElementNS('http://www.w3.org/2000/svg', 'rect')
  for (const [name, value] of Object.entries({
    x: -12,
    y: -room,
    width: width + 24,
    height: height + room + 12,
    fill: 'var(--paper)',
  }))
    ground.setAttribute(name, String(value))
  const heading = document.createElementNS('http://www.w3.org/2000/svg', 'text')
  for (const [name, value] of Object.entries({
    x: 0,
    y: -14,
    fill: 'var(--ink)',
    'font-size': 14,
    'font-weight': 600,
  }))
    heading.setAttribute(name, String(value))
  heading.textContent = title
  copy.prepend(ground, heading)
  const text = new XMLSerializer()
    .serializeToString(copy)
    .replace(
      /var\((--[\w-]+)(?:,\s*([^()]*(?:\([^()]*\))?[^()]*))?\)/g,
      (_all, name: string, behind?: string) =>
        styles.getPropertyValue(name).trim().replaceAll('"', "'") || behind || 'currentColor',
    )
    .replaceAll('currentColor', styles.getPropertyValue('--ink').trim())
  return { text, width: width + 24, height: height + room + 12 }
}

export async function savePng(name: string, svg: SVGSVGElement, title: string): Promise<void> {
  const { text, width, height } = standalone(svg, title)
  const image = new Image()
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(text)}`
  await image.decode()
  const canvas = document.createElement('canvas')
  canvas.width = width * 2
  canvas.height = height * 2
  canvas.getContext('2d')?.drawImage(image, 0, 0, width * 2, height * 2)
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/png'))
  if (blob) saveBlob(name, blob)
}
