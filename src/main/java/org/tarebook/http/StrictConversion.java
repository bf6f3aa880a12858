package org.tarebook.http;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import org.springframework.core.convert.ConversionException;
import org.springframework.core.convert.ConversionFailedException;
import org.springframework.core.convert.ConversionService;
import org.springframework.core.convert.TypeDescriptor;

/**
 * Reads parameters by the service's own converters alone. When a converter refuses a text, the data
 * binder would otherwise ask its property editors, which read {@code 0x10} as a number, {@code yes}
 * as true and an empty text as nothing. The framework's converter of lists takes blanks away; here
 * they are refused, as in single values.
 */
final class StrictConversion implements ConversionService {

  private final ConversionService converters;

  StrictConversion(ConversionService converters) {
    this.converters = converters;
  }

  /** The binder asks its property editors after a {@link ConversionFailedException} only. */
  private static final class Refused extends ConversionException {

    private static final long serialVersionUID = 1L;

    Refused(ConversionFailedException cause) {
      super(String.valueOf(cause.getMessage()), cause);
    }
  }

  @Override
  public boolean canConvert(@Nullable Class<?> source, Class<?> target) {
    return converters.canConvert(source, target);
  }

  @Override
  public boolean canConvert(@Nullable TypeDescriptor source, TypeDescriptor target) {
    return converters.canConvert(source, target);
  }

  @Override
  public <T> @Nullable T convert(@Nullable Object source, Class<T> target) {
    return target.cast(
        convert(source, TypeDescriptor.forObject(source), TypeDescriptor.valueOf(target)));
  }

  @Override
  public @Nullable Object convert(
      @Nullable Object source, @Nullable TypeDescriptor sourceType, TypeDescriptor target) {
    if (source instanceof String text
        && (target.isCollection() || target.isArray())
        && Arrays.stream(text.split(",")).anyMatch(each -> !each.strip().equals(each))) {
      throw new Refused(
          new ConversionFailedException(
              sourceType,
              target,
              source,
              new IllegalArgumentException("There are blanks beside a comma or at an end")));
    }
    try {
      return converters.convert(source, sourceType, target);
    } catch (ConversionFailedException refusal) {
      throw new Refused(refusal);
    }
  }
}
