export const mapNeeds = ['drop-places', 'fires', 'bases'] as const
