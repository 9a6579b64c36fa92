/** Pounds of retardant in a US gallon, of the test method's mixture. */
const retardantLbPerGal = 9.13707
const gramsPerLb = 453.6
/** Mouth of a cup in hundreds of square feet: 28 square inches. */
const cupMouth = 0.001944

/**
 * `effectiveness.gpc_of_cup(grams, lb_per_gal)`: coverage at one cup of a drop test's grid, US gal per 100 sq ft; NULL pounds take the test
 * method's retardant. Source: USDA Forest Service, Estimating Methods, Variability, and Sampling for Drop-Test Data, 0257-2826-MTDC,
 * September 2002. For people's own queries on drop tests.
 */
export const cupSql = `
CREATE OR REPLACE MACRO effectiveness.gpc_of_cup(grams, lb_per_gal) AS
  ((grams / ${gramsPerLb}) / coalesce(lb_per_gal, ${retardantLbPerGal})) / ${cupMouth};
`
