package org.tarebook.http;

import com.fasterxml.jackson.annotation.JacksonAnnotationsInside;
import jakarta.validation.Constraint;
import jakarta.validation.Payload;
import jakarta.validation.ReportAsSingleViolation;
import jakarta.validation.constraints.Pattern;
import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;
import tools.jackson.databind.annotation.JsonDeserialize;

/**
 * The sender's own key of a fact, which a retry repeats: 1 to 64 visible ASCII characters. The
 * header {@code Idempotency-Key} may bear it.
 */
@JacksonAnnotationsInside
@JsonDeserialize(using = KeyReader.class)
@Pattern(regexp = "[!-~]{1,64}")
@ReportAsSingleViolation
@Constraint(validatedBy = {})
@Target({
  ElementType.FIELD,
  ElementType.PARAMETER,
  ElementType.TYPE_USE,
  ElementType.ANNOTATION_TYPE
})
@Retention(RetentionPolicy.RUNTIME)
public @interface FactKey {
  /** What is wanted. */
  String message() default "must be 1 to 64 visible ASCII characters";

  /** Unused. */
  Class<?>[] groups() default {};

  /** Unused. */
  Class<? extends Payload>[] payload() default {};
}
