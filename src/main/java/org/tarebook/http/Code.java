package org.tarebook.http;

import jakarta.validation.Constraint;
import jakarta.validation.Payload;
import jakarta.validation.ReportAsSingleViolation;
import jakarta.validation.constraints.Pattern;
import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;

/**
 * A code by which the plant calls a thing: 1 to 40 letters, digits, dots, dashes or underscores.
 */
@Pattern(regexp = "[A-Za-z0-9][A-Za-z0-9._-]{0,39}")
@ReportAsSingleViolation
@Constraint(validatedBy = {})
@Target({
  ElementType.FIELD,
  ElementType.PARAMETER,
  ElementType.TYPE_USE,
  ElementType.ANNOTATION_TYPE
})
@Retention(RetentionPolicy.RUNTIME)
public @interface Code {
  /** What is wanted. */
  String message() default
      "must be a code of 1 to 40 letters, digits, dots, dashes or underscores, starting with a"
          + " letter or digit";

  /** Unused. */
  Class<?>[] groups() default {};

  /** Unused. */
  Class<? extends Payload>[] payload() default {};
}
