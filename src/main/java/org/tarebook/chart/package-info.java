/** The control plan: each row is a chart, and tells how its readings are taken and studied. */
@NullMarked
package org.tarebook.chart;

import org.jspecify.annotations.NullMarked;
