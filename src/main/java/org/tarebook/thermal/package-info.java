/**
 * Cure kinetics, steam and hot water, and heat penetration: what a curing engineer computes from a
 * cure log.
 *
 * <p>Pure Java without clock or storage. Times are seconds, equivalents are minutes, temperatures
 * are degrees Celsius (differences kelvin), pressures are kilopascals absolute, lengths metres,
 * diffusivities m2/s, conductivities W/(m K), film coefficients W/(m2 K), energies J/mol. What
 * cannot be is refused by {@link java.lang.IllegalArgumentException} with what, where and how to
 * mend it. All types are immutable.
 *
 * <h2>Equivalent cure</h2>
 *
 * <p>{@link org.tarebook.thermal.Trace} is a temperature over time, sampled (straight between
 * readings) or reported on change (held). A {@link org.tarebook.thermal.CureLaw} says how fast a
 * compound cures: {@link org.tarebook.thermal.Arrhenius} with an energy found by {@link
 * org.tarebook.thermal.ActivationEnergy}, or the rule {@link
 * org.tarebook.thermal.TemperatureCoefficient}. {@link org.tarebook.thermal.EquivalentCure}
 * integrates: by the logarithmic mean for minima and the trapezoid for maxima, between which the
 * truth of a straight temperature lies. {@link org.tarebook.thermal.CureMeter} reads torque curves,
 * {@link org.tarebook.thermal.FirstOrderCure} turns equivalents into a state of cure.
 *
 * <h2>Steam and water</h2>
 *
 * <p>{@link org.tarebook.thermal.Saturation} is IAPWS-IF97 region 4; gauge pressures need the
 * barometer of the place ({@link org.tarebook.thermal.Barometer} gives the standard one). {@link
 * org.tarebook.thermal.DomeSteam} tells air from superheat, and nothing inside the sensors' error
 * ({@link org.tarebook.thermal.SensorClass}); {@link org.tarebook.thermal.HotWater} tells the
 * margin above flashing.
 *
 * <h2>Heat penetration</h2>
 *
 * <p>{@link org.tarebook.thermal.Conduction} heats a {@link org.tarebook.thermal.Section} of layers
 * between two media, span by span, and gives a {@link org.tarebook.thermal.HeatHistory}:
 * temperatures and equivalents at any depth, the slowest and the fastest place. One dimension, no
 * heat of reaction, constant diffusivity; a tyre's shoulder has two dimensions. Taking the medium
 * for the rubber's face errs unsafe: give a {@link org.tarebook.thermal.Film} and the bladder as a
 * layer. The result is an estimate to be held against thermocouple studies, never a measurement.
 *
 * <h2>An example</h2>
 *
 * <p>A slab of 20 mm, diffusivity 1.1e-7 m2/s, from 25 degrees Celsius, faces at 170 and 150
 * degrees for 1200 s, energy 90 kJ/mol, reference 150 degrees: the middle gets 7.73 equivalent
 * minutes by the opening, the slowest place, 12.6 mm from the hotter face, 7.14 (ConductionTests
 * holds both).
 */
@NullMarked
package org.tarebook.thermal;

import org.jspecify.annotations.NullMarked;
