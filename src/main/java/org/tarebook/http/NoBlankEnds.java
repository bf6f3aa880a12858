package org.tarebook.http;

import jakarta.validation.Constraint;
import jakarta.validation.Payload;
import jakarta.validation.ReportAsSingleViolation;
import jakarta.validation.constraints.Pattern;
import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;

/** A name without blanks at its ends, which would make two names of what people read as one. */
@Pattern(regexp = "|[^\\s\\p{Z}]|[^\\s\\p{Z}].*[^\\s\\p{Z}]")
@ReportAsSingleViolation
@Constraint(validatedBy = {})
@Target({
  ElementType.FIELD,
  ElementType.PARAMETER,
  ElementType.TYPE_USE,
  ElementType.ANNOTATION_TYPE
})
@Retention(RetentionPolicy.RUNTIME)
public @interface NoBlankEnds {
  /** What is wanted. */
  String message() default "must not begin or end with a blank";

  /** Unused. */
  Class<?>[] groups() default {};

  /** Unused. */
  Class<? extends Payload>[] payload() default {};
}
